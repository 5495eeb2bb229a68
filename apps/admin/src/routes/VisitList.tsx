import type { PublishedVisit } from '@lintel/contract';
import { siteLink } from '../common/links.js';
import { ListPage } from '../common/ListPage.js';
import { visitColumns } from './visitColumns.js';

/** Visits that were published; an owner sees those to its own sites. */
export default function VisitList() {
  return (
    <ListPage<PublishedVisit>
      title="Visits"
      facts={<span>Announced visits, each by the clock at its site.</span>}
      resource="visits" label="Visits" columns={visitColumns} sort={{ field: 'startAt', order: 'DESC' }} href={({ siteId }) => siteLink(siteId)}
      filters={[
        { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites' },
      ]}
      empty={{ title: 'No visit is announced', text: 'Visits appear here when a route plan is published.' }}
    />
  );
}
