import type { PublishedVisit } from '@lintel/contract';
import { siteLink } from '../common/links.js';
import { PageHead } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { visitColumns } from './visitColumns.js';

/** Visits that were published; an owner sees those to its own sites. */
export default function VisitList() {
  return (
    <>
      <PageHead title="Visits" facts={<span>Announced visits, each by the clock at its site.</span>} />
      <RecordList<PublishedVisit>
        resource="visits" label="Visits" columns={visitColumns} sort={{ field: 'startAt', order: 'DESC' }} href={({ siteId }) => siteLink(siteId)}
        filters={[
          { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' },
        ]}
        empty={{ title: 'No visit is announced', text: 'Visits appear here when a route plan is published.' }}
      />
    </>
  );
}
