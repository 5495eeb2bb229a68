import type { FaultSummary } from '@lintel/contract';
import { formatDate, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Link } from 'react-router';
import { Nothing } from '../common/faces.js';
import { doorLink } from '../common/links.js';
import { Panel } from '../common/Page.js';

/** Repairs that did not help: the same fault on the same door soon after. */
export function RepeatsPanel({ repeats: { withinDays, repairs, judged, repeated, lines } }: { repeats: FaultSummary['repeats'] }) {
  return (
    <Panel title="Back after a repair" note={repairs === 0 ? undefined : `${repeated} of ${judged} repairs, within ${withinDays} days`} flush>
      {lines.length === 0 ? (
        <Nothing title={repairs === 0 ? 'No repair in this time' : 'Nothing came back'}>
          A repair is the change of a part that failed, wore out or was damaged, soon after a fault of its kind.
        </Nothing>
      ) : (
        <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
          {lines.map((line) => (
            <Box component="li" key={`${line.doorId}${line.repairedAt}${line.code}`} sx={{ padding: '8px 16px', borderTop: `1px solid ${palette.lineSoft}` }}>
              <Box component={Link} to={doorLink(line.doorId)} sx={{ color: palette.ink, fontWeight: 650 }}>
                {line.doorName}
              </Box>
              , {line.siteName}: <strong>{line.code}</strong> {line.codeName}
              <Box sx={{ color: palette.inkSoft, fontSize: '0.92rem' }}>
                {line.partName} changed {formatDate(line.repairedAt)}, the same fault again {formatDate(line.againAt)}
              </Box>
            </Box>
          ))}
        </Box>
      )}
    </Panel>
  );
}
