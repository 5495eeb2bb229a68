import type { KeyboardEvent } from 'react';
import type { Step } from './offers.js';
import type { Moving } from './useMoving.js';

function stepOf({ key, shiftKey }: Pick<KeyboardEvent, 'key' | 'shiftKey'>): Step | null {
  switch (key) {
    case 'ArrowLeft':
      return 'place-before';
    case 'ArrowRight':
      return 'place-after';
    case 'ArrowUp':
      return shiftKey ? 'technician-before' : 'day-before';
    case 'ArrowDown':
      return shiftKey ? 'technician-after' : 'day-after';
    case 'Delete':
      return 'out';
    default:
      return null;
  }
}

/** Keys while a visit is in the hand. */
export function heldKey(event: KeyboardEvent, moving: Moving): void {
  const step = stepOf(event);
  if (step !== null) moving.step(step);
  else if (event.key === 'Enter' || event.key === ' ') moving.drop();
  else if (event.key === 'Escape') moving.cancel();
  else return;
  event.preventDefault();
}
