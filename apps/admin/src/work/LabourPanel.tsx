import type { WholeWorkOrder } from '@lintel/contract';
import { formatInstant, formatMinutes, palette } from '@lintel/ui';
import { Box, Typography } from '@mui/material';
import { Panel } from '../common/Page.js';
import { partKindWords } from '../common/words.js';
import { timeKindWords } from './orderWords.js';

const plain = { listStyle: 'none', margin: 0, padding: 0 } as const;

/** Labour time and the parts that were used. */
export function LabourPanel({ order }: { order: WholeWorkOrder }) {
  const worked = order.times.filter(({ kind }) => kind === 'work').reduce((sum, { minutes }) => sum + minutes, 0);
  return (
    <Panel title="Time and parts" note={worked > 0 ? `${formatMinutes(worked)} of work, ${formatMinutes(order.minutes)} planned` : `${formatMinutes(order.minutes)} planned`}>
      <Box sx={{ display: 'grid', gap: 2, gridTemplateColumns: { xs: '1fr', sm: '1fr 1fr' } }}>
        <Box>
          <Typography variant="h3">Time</Typography>
          {order.times.length === 0 ? <Box sx={{ color: palette.slate }}>No time has been recorded.</Box> : null}
          <Box component="ul" sx={plain}>
            {order.times.map((time) => (
              <li key={time.id}>
                <strong>{formatMinutes(time.minutes)}</strong> {timeKindWords[time.kind].toLowerCase()}{' '}
                <Box component="span" sx={{ color: palette.slate }}>
                  {formatInstant(time.startedAt, order.timeZone)}
                  {time.accountName ? `, ${time.accountName}` : ''}
                </Box>
              </li>
            ))}
          </Box>
        </Box>
        <Box>
          <Typography variant="h3">Parts used</Typography>
          {order.usedParts.length === 0 ? <Box sx={{ color: palette.slate }}>No part has been used.</Box> : null}
          <Box component="ul" sx={plain}>
            {order.usedParts.map((part) => (
              <li key={part.id}>
                <strong>{part.quantity} ×</strong> {part.name ?? partKindWords[part.kind]}
                {part.code ? <Box component="span" sx={{ color: palette.slate }}> {part.code}</Box> : null}
              </li>
            ))}
          </Box>
        </Box>
      </Box>
    </Panel>
  );
}
