import { NumberInput, SelectInput, TextInput, required } from 'react-admin';
import { CreatePage, EditPage } from '../common/RecordForm.js';
import { choicesOf, partKindWords } from '../common/words.js';

const list = { to: '/stock-parts', word: 'Stock' };
const show = (_resource: string | undefined, id: unknown) => `/stock-parts/${String(id)}/show`;

function Fields() {
  return (
    <>
      <TextInput source="code" label="Code" helperText="By it the tablet knows the part" validate={required()} />
      <TextInput source="name" label="Name" validate={required()} />
      <SelectInput source="kind" label="Goes into" choices={choicesOf(partKindWords)} helperText="Plans ask for parts by this" validate={required()} />
      <NumberInput source="inStore" label="Quantity in the store" min={0} max={10_000} step={1} helperText={false} />
      <NumberInput source="lowAt" label="Low from" min={0} max={10_000} step={1} helperText="With so many or fewer in the store it is shown as low" />
      <NumberInput source="perVan" label="Wanted in a van" min={0} max={10_000} step={1} helperText={false} />
      <NumberInput source="cost" label="Price of one, in cents" min={0} step={1} helperText={false} />
      <TextInput source="currency" label="Currency" helperText="Three capital letters, with the price" />
      <NumberInput source="weightKg" label="Weight, kilograms" min={0} step="any" helperText={false} />
    </>
  );
}

export function StockPartCreate() {
  return (
    <CreatePage resource="stock-parts" heading="Add a part" up={list} then={show}>
      <Fields />
    </CreatePage>
  );
}

export function StockPartEdit() {
  return (
    <EditPage
      resource="stock-parts"
      heading={(part) => `Change ${String(part['code'])}`}
      up={(part) => ({ to: `/stock-parts/${part.id}/show`, word: `${String(part['code'])} ${String(part['name'])}` })}
      then={show}
      archiving="It is not kept any more: no plan counts on it. Vans must not carry any."
      fields={['code', 'name', 'kind', 'inStore', 'lowAt', 'perVan', 'cost', 'currency', 'weightKg']}
    >
      <Fields />
    </EditPage>
  );
}
