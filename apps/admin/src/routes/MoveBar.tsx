import { palette } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { dayWords } from '../work/week.js';
import { allowed, laneOfPrice } from './offers.js';
import { nameOfTechnician, usePlanView } from './planView.js';
import type { PlanView } from './planView.js';
import { breachSentence, signedMoney } from './routeWords.js';
import type { Held } from './useMoving.js';

/** Where the visit in the hand would go, and at what price, as one says it. */
export function heldSentence(held: Held, view: Pick<PlanView, 'lanes' | 'visitOf' | 'plan'>): string {
  const { at, offers, visit } = held;
  if (at === offers.now) return 'Where it is now.';
  const lane = view.lanes.find(({ key }) => key === laneOfPrice(at));
  const places = offers.byLane.get(laneOfPrice(at))?.length ?? 1;
  const where = lane ? `${lane.route.technicianName}, ${dayWords(lane.route.onDate)}, place ${at.position! + 1} of ${places}` : 'Out of the plan';
  if (allowed(at)) return `${where}: ${signedMoney(at.difference, view.plan.currency)}.`;
  const siteOf = (id: string) => view.visitOf.get(id)?.siteName ?? 'a site';
  const why = at.breaches.map((breach) => breachSentence(breach, { technician: nameOfTechnician(view, breach.technician), siteOf, skills: visit.skills }));
  return `${where}: not possible. ${[...new Set(why)].slice(0, 2).join(' ')}`;
}

/** Says the price while a visit is in the hand: to eyes at the foot of the window, to ears as it changes. */
export function MoveBar() {
  const view = usePlanView();
  const { held, busy, said, cancel, drop } = view.moving;
  const words = held ? `${held.visit.siteName}: ${heldSentence(held, view)}` : said;
  const fits = !held || allowed(held.at);
  return (
    // Keeps its room, so that nothing shifts under a visit in the hand.
    <Box sx={{ minHeight: 22, color: palette.inkSoft }}>
      <Box sx={held ? { ...barStyle, background: fits ? palette.ink : palette.signalDeep } : {}}>
        <Box role="status" aria-live="assertive" aria-label="Moving a visit" data-priced-ms={held?.offers.pricedMs.toFixed(1)} sx={{ flex: 1, fontWeight: held ? 600 : 450 }}>
          {busy ? 'Moving it…' : words}
        </Box>
        {held?.by === 'keys' ? (
          <>
            <Box component="span" sx={{ fontSize: '0.82rem', display: { xs: 'none', md: 'inline' } }}>← → place, ↑ ↓ day, with shift technician</Box>
            {/* Kept from taking the focus: the visit holds the keys. */}
            {fits ? <Button size="small" color="inherit" variant="outlined" onMouseDown={(event) => event.preventDefault()} onClick={drop}>Put it here</Button> : null}
            <Button size="small" color="inherit" onMouseDown={(event) => event.preventDefault()} onClick={cancel}>Leave it</Button>
          </>
        ) : null}
      </Box>
    </Box>
  );
}

const barStyle = {
  position: 'fixed', zIndex: 1200, bottom: 12, left: { xs: 8, lg: 250 }, right: { xs: 8, lg: 30 }, display: 'flex', flexWrap: 'wrap', gap: 1, alignItems: 'center',
  color: palette.paper, padding: '10px 16px', borderRadius: '3px', boxShadow: '0 6px 22px rgb(20 35 46 / 0.3)',
} as const;
