import type { Outlook } from '@lintel/contract';
import { ConditionMark, StateMark, formatChance, formatDate, palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import type { ReactNode } from 'react';
import { Link } from 'react-router';
import { doorLink } from '../common/links.js';
import { Nothing } from '../common/faces.js';
import { Panel } from '../common/Page.js';

const shownAtFirst = 10;

/** Doors whose parts are likely to fail soonest, by the chance within 90 days. */
export function DoorsAtRisk({ doors }: { doors: Outlook['doorsAtRisk'] }) {
  return (
    <Panel title="Doors at risk" note="Chance that a part fails within 90 days" flush>
      {doors.length === 0 ? (
        <Nothing title="No door stands out">No part is likely to reach its end within the next 90 days.</Nothing>
      ) : (
        <Lines
          lines={doors.map((door) => ({
            key: `${door.doorId}${door.fittedPartId ?? ''}`,
            line: (
              <>
                <DoorAndSite {...door} />
                <span>{door.partName ?? 'no part named'}</span>
                <ConditionMark condition={door.condition} />
                <Chance chance={door.chance90} />
              </>
            ),
          }))}
          columns="minmax(0, 1.5fr) minmax(0, 1.2fr) 9ch 13ch"
        />
      )}
    </Panel>
  );
}

/** Doors that are shut down, longest first. */
export function OutOfService({ doors }: { doors: Outlook['doorsOutOfService'] }) {
  return (
    <Panel title="Out of service" flush>
      {doors.length === 0 ? (
        <Nothing title="Every door is in service" />
      ) : (
        <Lines
          lines={doors.map((door) => ({
            key: door.doorId,
            line: (
              <>
                <DoorAndSite {...door} />
                <Box>
                  <StateMark state={door.state} /> <Box component="span" sx={{ color: palette.slate }}>since {formatDate(door.stateSince)}</Box>
                  {door.stateReason ? <Box sx={{ color: palette.inkSoft }}>{door.stateReason}</Box> : null}
                </Box>
              </>
            ),
          }))}
          columns="minmax(0, 1fr) minmax(0, 1.4fr)"
        />
      )}
    </Panel>
  );
}

function Lines({ lines, columns }: { lines: readonly { key: string; line: ReactNode }[]; columns: string }) {
  const [all, setAll] = useState(false);
  const shown = all ? lines : lines.slice(0, shownAtFirst);
  return (
    <>
      <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0 }}>
        {shown.map(({ key, line }) => (
          <Box
            component="li"
            key={key}
            sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr 1fr', sm: columns }, alignItems: 'start', gap: '2px 14px', padding: '7px 16px', borderTop: `1px solid ${palette.lineSoft}` }}
          >
            {line}
          </Box>
        ))}
      </Box>
      {lines.length > shownAtFirst ? (
        <Button onClick={() => setAll(!all)} sx={{ margin: '4px 8px' }}>
          {all ? 'Show fewer' : `Show ${lines.length - shownAtFirst} more`}
        </Button>
      ) : null}
    </>
  );
}

function DoorAndSite({ doorId, doorName, siteName }: { doorId: string; doorName: string; siteName: string }) {
  return (
    <Box sx={{ minWidth: 0 }}>
      <Box component={Link} to={doorLink(doorId)} sx={{ fontWeight: 700, color: palette.ink, textUnderlineOffset: '3px' }}>
        {doorName}
      </Box>
      <Box sx={{ color: palette.slate, overflowWrap: 'anywhere' }}>{siteName}</Box>
    </Box>
  );
}

/** A chance as a short bar with its figure. */
export function Chance({ chance }: { chance: number }) {
  return (
    <Box sx={{ display: 'flex', alignItems: 'center', gap: 1 }}>
      <Box aria-hidden="true" sx={{ flex: 1, height: 8, background: palette.frostDeep, borderRadius: '2px', overflow: 'hidden' }}>
        <Box sx={{ width: `${Math.round(chance * 100)}%`, height: '100%', background: chance >= 0.5 ? palette.signal : palette.dusk }} />
      </Box>
      <Box component="span" sx={{ minWidth: '5ch', textAlign: 'right', whiteSpace: 'nowrap' }}>
        {formatChance(chance)}
      </Box>
    </Box>
  );
}
