import type { DoorType, Site } from '@lintel/contract';
import { DateInput, TextInput, required, useGetOne } from 'react-admin';
import { useWatch } from 'react-hook-form';
import { useSearchParams } from 'react-router';
import { LengthInput, NoteInput, RecordInput } from '../../common/inputs.js';
import { doorLink } from '../../common/links.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';

const changeable = ['name', 'serial', 'fromZoneId', 'toZoneId', 'widthMm', 'heightMm', 'installedOn', 'maker', 'installer', 'notes'] as const;

/** Fields that a new door and a changed one share; lengths in the unit of the site. */
function DoorFields({ fresh }: { fresh: boolean }) {
  const siteId = useWatch({ name: 'siteId' }) as string | undefined;
  const doorTypeId = useWatch({ name: 'doorTypeId' }) as string | undefined;
  const { data: site } = useGetOne<Site>('sites', { id: siteId ?? '' }, { enabled: Boolean(siteId) });
  const { data: type } = useGetOne<DoorType>('door-types', { id: doorTypeId ?? '' }, { enabled: Boolean(doorTypeId) && fresh });
  const units = site?.units ?? 'metric';
  const sizeHelp = type ? `Left empty: the type’s own, ${type.widthMm} × ${type.heightMm} mm` : undefined;
  return (
    <>
      <TextInput source="name" label="Name on the door" validate={required()} helperText="As it stands on the door, e.g. F-03" />
      <TextInput source="serial" label="Serial" />
      {siteId ? (
        <>
          <RecordInput source="fromZoneId" resource="zones" label="Zone on one side" filter={{ siteId, archived: 'false' }} />
          <RecordInput source="toZoneId" resource="zones" label="Zone on the other side" filter={{ siteId, archived: 'false' }} />
        </>
      ) : null}
      <LengthInput source="widthMm" units={units} label="Clear width" helperText={sizeHelp ?? false} {...(fresh ? {} : { validate: required() })} />
      <LengthInput source="heightMm" units={units} label="Clear height" helperText={sizeHelp ?? false} {...(fresh ? {} : { validate: required() })} />
      <DateInput source="installedOn" label="Installed on" validate={required()} />
      <TextInput source="maker" label="Maker" helperText="As on the door’s plate" />
      <TextInput source="installer" label="Installed by" />
      <NoteInput source="notes" label="Notes" />
    </>
  );
}

export function DoorCreate() {
  const [parameters] = useSearchParams();
  const siteId = parameters.get('siteId');
  return (
    <CreatePage
      resource="doors"
      heading="Add a door"
      up={{ to: '/doors', word: 'Doors' }}
      then={(_resource, id) => doorLink(String(id))}
      defaults={siteId ? { siteId } : {}}
    >
      <RecordInput source="siteId" resource="sites" label="Site" needed filter={{ archived: 'false' }} />
      <RecordInput source="doorTypeId" resource="door-types" label="Door type" needed filter={{ archived: 'false' }} />
      <DoorFields fresh />
    </CreatePage>
  );
}

export function DoorEdit() {
  return (
    <EditPage
      resource="doors"
      heading={(door) => `Change door ${String(door['name'])}`}
      up={(door) => ({ to: doorLink(String(door.id)), word: `Door ${String(door['name'])}` })}
      then={(_resource, id) => doorLink(String(id))}
      fields={changeable}
    >
      <DoorFields fresh={false} />
    </EditPage>
  );
}
