import type { WholeWorkOrder } from '@lintel/contract';
import { palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Panel } from '../common/Page.js';
import { FindingLine } from './FindingLine.js';
import { Thumbnails } from './Thumbnails.js';

/** What was found while the order was carried out. */
export function FindingsPanel({ order }: { order: WholeWorkOrder }) {
  const step = (id: string | null) => order.steps.find((one) => one.id === id)?.text;
  return (
    <Panel title="Findings" flush>
      {order.findings.length === 0 ? (
        <Box sx={{ padding: '0 16px 14px', color: palette.slate }}>Nothing has been found.</Box>
      ) : (
        <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {order.findings.map((finding) => (
            <FindingLine key={finding.id} finding={finding} timeZone={order.timeZone}>
              {step(finding.stepId) ? <Box sx={{ color: palette.inkSoft }}>Seen at: {step(finding.stepId)}</Box> : null}
              <Thumbnails images={order.images.filter(({ id }) => finding.photoIds.includes(id))} timeZone={order.timeZone} />
            </FindingLine>
          ))}
        </Box>
      )}
    </Panel>
  );
}
