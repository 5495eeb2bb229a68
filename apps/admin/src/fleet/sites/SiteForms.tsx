import { AutocompleteInput, NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { RecordInput } from '../../common/inputs.js';
import { siteLink } from '../../common/links.js';
import { CreatePage, EditPage } from '../../common/RecordForm.js';

const zones = Intl.supportedValuesOf('timeZone').map((zone) => ({ id: zone, name: zone.replaceAll('_', ' ') }));
const countries = new Intl.DisplayNames('en', { type: 'region' });
const fields = ['name', 'address', 'countryCode', 'timeZone', 'latitude', 'longitude', 'units', 'currency', 'regimeMonths', 'regimeSource'];

function Fields() {
  return (
    <>
      <TextInput source="name" label="Name" validate={required()} />
      <TextInput source="address" label="Address" />
      <TextInput
        source="countryCode"
        label="Country"
        validate={required()}
        parse={(text: string) => text.toUpperCase()}
        helperText={<CountryHelp />}
        slotProps={{ htmlInput: { maxLength: 2 } }}
      />
      <AutocompleteInput source="timeZone" label="Time zone" choices={zones} validate={required()} helperText="Due dates follow the calendar of this zone" />
      <SelectInput
        source="units"
        label="Units"
        choices={[
          { id: 'metric', name: 'metric (mm, °C)' },
          { id: 'us', name: 'US (in, °F)' },
        ]}
      />
      <TextInput source="currency" label="Currency" parse={(text: string) => text.toUpperCase()} helperText="Three letters, e.g. EUR" slotProps={{ htmlInput: { maxLength: 3 } }} />
      <NumberInput
        source="regimeMonths"
        label="Months between safety inspections"
        min={1}
        step={1}
        helperText="What the site’s own rules ask for. It tightens the plan’s interval and never loosens it. Confirm against local rules."
      />
      <TextInput source="regimeSource" label="Source of that interval" helperText="The rule or contract that asks for it" />
      <NumberInput source="latitude" label="Latitude, degrees" />
      <NumberInput source="longitude" label="Longitude, degrees" />
    </>
  );
}

function CountryHelp() {
  return <>Two letters, e.g. NO for {countries.of('NO')}</>;
}

export function SiteCreate() {
  return (
    <CreatePage
      resource="sites"
      heading="Add a site"
      up={{ to: '/sites', word: 'Sites' }}
      then={(_resource, id) => siteLink(String(id))}
      defaults={{ units: 'metric', currency: 'EUR' }}
    >
      <RecordInput source="ownerId" resource="owners" label="Owner" needed filter={{ archived: 'false' }} />
      <Fields />
    </CreatePage>
  );
}

export function SiteEdit() {
  return (
    <EditPage
      resource="sites"
      heading={(site) => `Change ${String(site['name'])}`}
      up={(site) => ({ to: siteLink(String(site.id)), word: String(site['name']) })}
      then={(_resource, id) => siteLink(String(id))}
      archiving="It leaves the lists; its history stays."
      fields={fields}
    >
      <Fields />
    </EditPage>
  );
}
