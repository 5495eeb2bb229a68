import type { DueItem } from '@lintel/contract';
import { count, daysBetween, formatDate, palette } from '@lintel/ui';
import { Box, Button, Typography } from '@mui/material';
import { useState } from 'react';
import { Link } from 'react-router';
import { doorLink, listLink } from '../common/links.js';

const shownAtFirst = 8;

interface OverdueSafetyProps {
  items: readonly DueItem[];
  total: number;
  today: string;
  doors: number;
}

/** Overdue safety inspections: first on the page, in the one warm colour, under the hazard edge. */
export function OverdueSafety({ items, total, today, doors }: OverdueSafetyProps) {
  const [all, setAll] = useState(false);
  if (total === 0) return <NoneOverdue doors={doors} />;
  const shown = all ? items : items.slice(0, shownAtFirst);
  return (
    <Box component="section" aria-label="Overdue safety inspections" sx={{ border: `2px solid ${palette.signal}`, borderRadius: '4px', background: palette.signalSoft, overflow: 'hidden' }}>
      <Box sx={{ height: 12, background: `repeating-linear-gradient(135deg, ${palette.ink} 0 14px, ${palette.signal} 14px 28px)` }} />
      <Box sx={{ display: 'flex', flexWrap: 'wrap', alignItems: 'center', gap: '6px 18px', padding: '14px 18px 10px' }}>
        <Typography component="span" sx={{ fontSize: '2.7rem', fontWeight: 800, lineHeight: 1, color: palette.signal, fontStretch: '118%' }}>
          {total.toLocaleString('en')}
        </Typography>
        <Box sx={{ flex: '1 1 260px' }}>
          <Typography variant="h2" sx={{ color: palette.signalDeep, fontSize: '1.25rem' }}>
            {total === 1 ? 'Safety inspection overdue' : 'Safety inspections overdue'}
          </Typography>
          <Typography>These doors are past the latest date for the function test of their safety devices. Inspect them first.</Typography>
        </Box>
        <Button component={Link} to={listLink('due-items', { safety: 'true', overdue: 'true' })} variant="contained" color="error">
          All of them
        </Button>
      </Box>
      <Box component="ul" sx={{ listStyle: 'none', margin: 0, padding: 0, background: palette.paper, borderTop: `1px solid ${palette.signal}` }}>
        {shown.map((item) => (
          <Line key={item.id} item={item} today={today} />
        ))}
      </Box>
      {items.length > shownAtFirst ? (
        <Button onClick={() => setAll(!all)} sx={{ margin: '4px 10px', color: palette.signalDeep }}>
          {all ? 'Show fewer' : `Show ${items.length - shownAtFirst} more`}
        </Button>
      ) : null}
    </Box>
  );
}

function Line({ item, today }: { item: DueItem; today: string }) {
  const days = daysBetween(item.latestOn, today);
  return (
    <Box
      component="li"
      sx={{ display: 'grid', gridTemplateColumns: { xs: '1fr', sm: '9ch minmax(0, 1.2fr) minmax(0, 1.3fr) 24ch' }, gap: '0 18px', padding: '8px 18px', borderTop: `1px solid ${palette.lineSoft}`, '&:first-of-type': { borderTop: 0 } }}
    >
      <Box component={Link} to={doorLink(item.doorId)} sx={{ fontWeight: 750, color: palette.ink, textUnderlineOffset: '3px' }}>
        {item.doorName}
      </Box>
      <span>
        {item.siteName} <Box component="span" sx={{ color: palette.slate }}>({item.ownerName})</Box>
      </span>
      <span>{item.taskName}</span>
      <Box component="span" sx={{ color: palette.signalDeep, fontWeight: 700, textAlign: { sm: 'right' } }}>
        {days > 0 ? `${count(days, 'day')} past` : 'past'} {formatDate(item.latestOn)}
      </Box>
    </Box>
  );
}

function NoneOverdue({ doors }: { doors: number }) {
  return (
    <Box component="section" aria-label="Overdue safety inspections" sx={{ display: 'flex', alignItems: 'center', gap: 1.5, border: `1px solid ${palette.line}`, borderLeft: `8px solid ${palette.ice}`, background: palette.paper, padding: '14px 18px', borderRadius: '3px' }}>
      <svg width={26} height={26} viewBox="0 0 16 16" aria-hidden="true">
        <path d="M2.5 8.6 6.4 12.4 13.6 4" fill="none" stroke={palette.ice} strokeWidth={2.4} />
      </svg>
      <Box>
        <Typography variant="h2">No safety inspection is overdue</Typography>
        <Typography sx={{ color: palette.slate }}>
          {doors === 0 ? 'There are no doors yet.' : 'Every door in service is within the latest date of its safety inspections.'}
        </Typography>
      </Box>
    </Box>
  );
}
