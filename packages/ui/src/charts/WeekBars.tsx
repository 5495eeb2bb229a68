import type { CSSProperties } from 'react';
import { palette } from '../palette.js';
import { formatDayMonth } from '../format/dates.js';

/** What falls due in one week. */
export interface WeekLoad {
  from: string;
  to: string;
  safety: number;
  maintenance: number;
  overdueOther: number;
}

const layers = [
  { key: 'safety', word: 'safety inspections', fill: palette.ink },
  { key: 'maintenance', word: 'maintenance', fill: '#7fa3b3' },
  { key: 'overdueOther', word: 'carried over, overdue', fill: 'url(#lintel-overdue)' },
] as const;

/** The weeks ahead: one column a week, what falls due in it stacked; each column is a button when `onChoose` is given. */
export function WeekBars({ weeks, onChoose }: { weeks: readonly WeekLoad[]; onChoose?: (week: WeekLoad) => void }) {
  const totals = weeks.map((week) => week.safety + week.maintenance + week.overdueOther);
  const top = Math.max(4, ...totals);
  return (
    <div>
      <svg width={0} height={0} style={{ position: 'absolute' }} aria-hidden="true">
        <defs>
          <pattern id="lintel-overdue" width={6} height={6} patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <rect width={6} height={6} fill={palette.signalSoft} />
            <rect width={3} height={6} fill={palette.signal} />
          </pattern>
        </defs>
      </svg>
      <Legend />
      <div style={{ overflowX: 'auto' }} role="group" aria-label="What falls due, by week">
        <div style={{ display: 'grid', gridTemplateColumns: `repeat(${weeks.length}, minmax(52px, 1fr))`, gap: 6, minWidth: 52 * weeks.length }}>
          {weeks.map((week, index) => (
            <WeekColumn key={week.from} week={week} top={top} total={totals[index] ?? 0} onChoose={onChoose} />
          ))}
        </div>
      </div>
    </div>
  );
}

function Legend() {
  return (
    <div style={{ display: 'flex', flexWrap: 'wrap', gap: '4px 18px', fontSize: 13, color: palette.inkSoft, marginBottom: 8 }}>
      {layers.map(({ key, word, fill }) => (
        <span key={key} style={{ display: 'inline-flex', alignItems: 'center', gap: 6 }}>
          <svg width={14} height={14} aria-hidden="true">
            <rect width={14} height={14} fill={fill} />
          </svg>
          {word}
        </span>
      ))}
    </div>
  );
}

const barHeight = 132;

/** For ears alone. */
const unseen: CSSProperties = { position: 'absolute', width: 1, height: 1, overflow: 'hidden', clipPath: 'inset(50%)', whiteSpace: 'nowrap' };

function WeekColumn({ week, top, total, onChoose }: { week: WeekLoad; top: number; total: number; onChoose: ((week: WeekLoad) => void) | undefined }) {
  let from = barHeight;
  const parts = `${week.safety} safety inspections, ${week.maintenance} maintenance, ${week.overdueOther} overdue`;
  return (
    <button
      type="button"
      title={parts}
      disabled={!onChoose}
      onClick={() => onChoose?.(week)}
      style={{ all: 'unset', boxSizing: 'border-box', cursor: onChoose ? 'pointer' : 'default', textAlign: 'center', borderRadius: 3, position: 'relative' }}
      className="lintel-week"
    >
      <span style={{ display: 'block', fontSize: 14, fontWeight: 650, color: total ? palette.ink : palette.slateSoft }}>{total}</span>
      <span style={unseen}> due in the week from </span>
      <svg width="100%" height={barHeight} viewBox={`0 0 40 ${barHeight}`} preserveAspectRatio="none" aria-hidden="true">
        <rect x={0} y={0} width={40} height={barHeight} fill={palette.frost} />
        {layers.map(({ key, fill }) => {
          const height = (week[key] / top) * barHeight;
          from -= height;
          return height > 0 ? <rect key={key} x={4} y={from + 1} width={32} height={Math.max(1, height - 1)} fill={fill} /> : null;
        })}
        <rect x={0} y={barHeight - 1.5} width={40} height={1.5} fill={palette.slate} />
      </svg>
      <span style={{ display: 'block', fontSize: 12, color: palette.inkSoft, whiteSpace: 'nowrap' }}>{formatDayMonth(week.from)}</span>
      <span style={unseen}>: {parts}</span>
    </button>
  );
}
