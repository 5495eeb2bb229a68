import { formatMinutes, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import type { KeyboardEvent, PointerEvent } from 'react';
import { clockWord, keysId, shareOf } from './lanes.js';
import type { LaneStop, Scale } from './lanes.js';
import { usePlanView } from './planView.js';
import { heldKey } from './heldKey.js';

interface StopButtonProps {
  stop: LaneStop;
  scale: Scale;
  startPointer: (event: PointerEvent, visitId: string) => void;
}

/** A visit in the time line: chosen by click, taken up by Enter or by dragging. */
export function StopButton({ stop, scale, startPointer }: StopButtonProps) {
  const { chosenId, choose, pointedId, point, mayMove, moving } = usePlanView();
  const { visit, number, starts, leaves } = stop;
  const chosen = chosenId === visit.id;
  const held = moving.held?.visit.id === visit.id;
  const kept = visit.locked || visit.startedAt !== null;
  const onKeyDown = (event: KeyboardEvent) => {
    if (moving.held) heldKey(event, moving);
    else if (mayMove && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      choose(visit.id);
      moving.pickUp(visit, 'keys');
    }
  };
  return (
    <Box
      component="button"
      type="button"
      data-visit={visit.id}
      aria-pressed={chosen}
      {...(mayMove ? { 'aria-describedby': keysId } : {})}
      title={`${clockWord(starts)}–${clockWord(leaves)} ${visit.siteName}`}
      onClick={() => choose(chosen ? null : visit.id)}
      onKeyDown={onKeyDown}
      onPointerDown={(event: PointerEvent) => startPointer(event, visit.id)}
      onFocus={() => point(visit.id)}
      onBlur={() => {
        point(null);
        if (held && moving.held?.by === 'keys') moving.cancel();
      }}
      onMouseEnter={() => point(visit.id)}
      onMouseLeave={() => point(null)}
      sx={{
        ...blockStyle,
        left: `${shareOf(starts, scale)}%`,
        width: `${shareOf(leaves, scale) - shareOf(starts, scale)}%`,
        background: held ? palette.paper : chosen ? palette.ink : pointedId === visit.id ? palette.iceSoft : '#dbe9ee',
        color: chosen && !held ? palette.paper : palette.ink,
        borderStyle: held ? 'dashed' : 'solid',
        borderWidth: kept ? 2.5 : 1.2,
        cursor: mayMove && !kept ? 'grab' : 'pointer',
        touchAction: mayMove && !kept ? 'none' : 'auto',
      }}
    >
      <span style={unseen}>Visit </span>
      <b>{number}</b> {kept ? <KeptShape /> : null}
      {visit.siteName}{' '}
      <Box component="span" sx={{ display: 'block', fontSize: '0.92em', fontWeight: 450 }}>{clockWord(starts)}–{clockWord(leaves)}</Box>
      <span style={unseen}>{restWords(stop)}</span>
    </Box>
  );
}

/** For ears alone. */
const unseen = { position: 'absolute', width: 1, height: 1, overflow: 'hidden', clipPath: 'inset(50%)' } as const;

const blockStyle = {
  position: 'absolute', top: 3, bottom: 6, zIndex: 1, minWidth: 16, boxSizing: 'border-box', padding: '0 3px', margin: 0, borderRadius: '2px', borderColor: palette.ink,
  fontFamily: 'inherit', fontSize: '0.74rem', lineHeight: '15px', textAlign: 'left', overflow: 'hidden', whiteSpace: 'nowrap', textOverflow: 'clip', userSelect: 'none',
  '&:focus-visible': { outline: `3px solid ${palette.ice}`, outlineOffset: 1, zIndex: 4 },
} as const;

function KeptShape() {
  return (
    <svg width={10} height={11} viewBox="0 0 10 11" aria-hidden="true" style={{ marginRight: 3, verticalAlign: '-1px' }}>
      <rect x={0.5} y={4.5} width={9} height={6} fill="currentColor" />
      <path d="M2.5 5V3a2.5 2.5 0 0 1 5 0v2" fill="none" stroke="currentColor" strokeWidth={1.4} />
    </svg>
  );
}

/** What the drawing says of a stop besides. */
function restWords({ visit, departs, arrives, starts, slackTo }: LaneStop): string {
  const parts = [''];
  if (arrives - departs >= 1) parts.push(`travel ${formatMinutes(arrives - departs)}`);
  if (starts - arrives >= 1) parts.push(`waiting ${formatMinutes(starts - arrives)}`);
  if (slackTo - starts >= 1) parts.push(`slack ${formatMinutes(slackTo - starts)}`);
  if (visit.startedAt !== null) parts.push('has begun');
  else if (visit.locked) parts.push('locked');
  return parts.join(', ');
}
