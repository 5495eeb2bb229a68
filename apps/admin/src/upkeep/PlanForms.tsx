import { TextInput, required } from 'react-admin';
import { useSearchParams } from 'react-router';
import { RecordInput } from '../common/inputs.js';
import { CreatePage, EditPage } from '../common/RecordForm.js';

const up = { to: '/plans', word: 'Maintenance plans' };

export function PlanCreate() {
  const [parameters] = useSearchParams();
  const doorTypeId = parameters.get('doorTypeId');
  return (
    <CreatePage resource="plans" heading="Add a maintenance plan" up={up} then={(_resource, id) => `/plans/${String(id)}/show`} defaults={doorTypeId ? { doorTypeId } : {}}>
      <TextInput source="name" label="Name" validate={required()} />
      <RecordInput source="doorTypeId" resource="door-types" label="For doors of type" needed filter={{ archived: 'false' }} />
    </CreatePage>
  );
}

export function PlanEdit() {
  return (
    <EditPage
      resource="plans"
      heading={(plan) => `Change ${String(plan['name'])}`}
      up={(plan) => ({ to: `/plans/${String(plan.id)}/show`, word: String(plan['name']) })}
      then={() => '/plans'}
      archiving="Its tasks no longer fall due; what was done stays."
      fields={['name']}
    >
      <TextInput source="name" label="Name" validate={required()} />
    </EditPage>
  );
}
