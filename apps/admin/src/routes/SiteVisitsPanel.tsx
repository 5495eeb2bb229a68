import type { PublishedVisit } from '@lintel/contract';
import { useNow } from '../common/now.js';
import { Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { visitColumns } from './visitColumns.js';

/** Visits to a site that were published: for the company, and read only for its owner. */
export function SiteVisitsPanel({ siteId }: { siteId: string }) {
  const now = useNow();
  return (
    <Panel title="Visits to come" note="As published" flush>
      <RecordList<PublishedVisit>
        resource="visits" label="Published visits" inside fixed={{ siteId, startAtFrom: now.slice(0, 10) + 'T00:00:00.000Z' }} sort={{ field: 'startAt', order: 'ASC' }}
        columns={visitColumns.filter(({ key }) => key !== 'site')}
        empty={{ title: 'No visit is announced', text: 'Visits appear here when a route plan is published.' }}
      />
    </Panel>
  );
}
