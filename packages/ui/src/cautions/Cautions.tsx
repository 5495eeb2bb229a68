import { palette } from '../palette.js';

/** The usual cautions of the trade (common practice, no source), in the order in which they are taken. */
export const cautions: readonly { title: string; text: string }[] = [
  { title: 'Isolate and lock out', text: 'Switch the door off at its isolator, lock it with your own lock and keep the key.' },
  { title: 'Prove dead', text: 'Test that the drive, its converter and any heating are dead. Wait until stored charge has gone.' },
  { title: 'Secure the panel', text: 'Hold the curtain and its weighted edge mechanically before anything that carries them is undone.' },
  { title: 'Keep people out of the opening', text: 'Bar both sides. Nobody passes or stands beneath while you work.' },
];

export const cautionRank =
  'Local codes, the maker’s manual and licensed trades come first. Only a licensed electrician works on the supply.';

/** Shown before the first step of any job at a door. */
export function Cautions({ compact = false }: { compact?: boolean }) {
  return (
    <section
      aria-label="Before work at the door"
      style={{
        border: `2px solid ${palette.ink}`,
        borderRadius: 4,
        background: palette.paper,
        color: palette.ink,
        overflow: 'hidden',
      }}
    >
      <div
        style={{
          height: 8,
          background: `repeating-linear-gradient(135deg, ${palette.ink} 0 12px, ${palette.signal} 12px 24px)`,
        }}
      />
      <div style={{ padding: compact ? '10px 14px' : '14px 18px' }}>
        <strong style={{ fontSize: '0.95em' }}>Before work at the door</strong>
        <ol style={{ margin: '6px 0 8px', paddingLeft: '1.4em', lineHeight: 1.45 }}>
          {cautions.map(({ title, text }) => (
            <li key={title}>
              <strong>{title}.</strong> {compact ? null : text}
            </li>
          ))}
        </ol>
        <div style={{ fontSize: '0.92em', color: palette.inkSoft }}>{cautionRank}</div>
      </div>
    </section>
  );
}
