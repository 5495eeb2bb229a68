import { palette } from '@lintel/ui';

/** The house's sign: a lintel over an opening, its curtain half down, the edge that must stop in time. */
export function Sign({ size = 28 }: { size?: number }) {
  return (
    <svg width={size} height={size} viewBox="0 0 32 32" aria-hidden="true">
      <path d="M3 5h26v7H3z" fill={palette.frostDeep} />
      <path d="M6.5 12v17M25.5 12v17" stroke={palette.frostDeep} strokeWidth={3} />
      <path d="M10 15.5h12M10 19.5h12" stroke="#7fa3b3" strokeWidth={2.4} />
      <path d="M10 23.5h12" stroke="#e2662d" strokeWidth={2.6} />
    </svg>
  );
}
