import { NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { useSearchParams } from 'react-router';
import { RecordInput } from '../../common/inputs.js';
import { siteLink } from '../../common/links.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';
import { choicesOf, temperatureWords } from '../../common/words.js';

function Fields() {
  return (
    <>
      <TextInput source="name" label="Name" validate={required()} />
      <SelectInput source="temperatureClass" label="Temperature class" choices={choicesOf(temperatureWords)} validate={required()} />
      <NumberInput source="setPointCelsius" label="Set point, °C" step={0.1} />
    </>
  );
}

export function ZoneCreate() {
  const [parameters] = useSearchParams();
  const siteId = parameters.get('siteId') ?? '';
  return (
    <CreatePage
      resource="zones"
      heading="Add a zone"
      up={siteId ? { to: siteLink(siteId), word: 'Site' } : { to: '/sites', word: 'Sites' }}
      then={(_resource, _id, zone) => siteLink(String(zone?.['siteId'] ?? siteId))}
      defaults={siteId ? { siteId } : {}}
    >
      <RecordInput source="siteId" resource="sites" label="Site" needed filter={{ archived: 'false' }} />
      <Fields />
    </CreatePage>
  );
}

export function ZoneEdit() {
  return (
    <EditPage
      resource="zones"
      heading={(zone) => `Zone ${String(zone['name'])}`}
      up={(zone) => ({ to: siteLink(String(zone['siteId'])), word: String(zone['siteName']) })}
      then={(_resource, _id, zone) => siteLink(String(zone?.['siteId']))}
      archiving="No new door can name it; doors that do keep it."
      fields={['name', 'temperatureClass', 'setPointCelsius']}
    >
      <Fields />
    </EditPage>
  );
}
