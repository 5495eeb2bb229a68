import type { CalibrationStateWord, CompetenceStateWord, ComplianceStateWord, SourceStatusWord } from '@lintel/contract';
import type { ReactNode } from 'react';
import { Mark } from '../marks/Mark.js';
import { ConditionShape, StateShape, VerdictShape } from '../marks/shapes.js';
import { palette } from '../palette.js';

/** How anything that ends by a date, or was tested, stands: one shape and colour for each, whatever it is called. */
type Standing = 'over' | 'failed' | 'missing' | 'soon' | 'fine' | 'ahead' | 'ended';

const standings: Record<Standing, { shape: ReactNode; colour: string }> = {
  over: { shape: <ConditionShape condition="worn" />, colour: palette.signal },
  failed: { shape: <StateShape state="out-of-service" />, colour: palette.signal },
  missing: { shape: <ConditionShape condition="unknown" />, colour: palette.signalDeep },
  soon: { shape: <ConditionShape condition="wearing" />, colour: palette.dusk },
  fine: { shape: <ConditionShape condition="sound" />, colour: palette.ice },
  ahead: { shape: <VerdictShape verdict="pending" />, colour: palette.slateSoft },
  ended: { shape: <StateShape state="decommissioned" />, colour: palette.slateSoft },
};

function StandingMark({ standing, word, title }: { standing: Standing; word: string; title?: string | undefined }) {
  const { shape, colour } = standings[standing];
  return <Mark shape={shape} word={word} colour={colour} strong={standing === 'over' || standing === 'failed' || standing === 'missing'} title={title} />;
}

export const calibrationWords: Record<CalibrationStateWord, string> = {
  never: 'never calibrated',
  'out-of-date': 'out of date',
  'due-soon': 'due within 60 days',
  'in-date': 'in date',
};
const ofCalibration: Record<CalibrationStateWord, Standing> = { never: 'missing', 'out-of-date': 'over', 'due-soon': 'soon', 'in-date': 'fine' };

/** How an instrument's calibration stands: shape, word and colour. */
export function CalibrationMark({ state }: { state: CalibrationStateWord }) {
  return <StandingMark standing={ofCalibration[state]} word={calibrationWords[state]} />;
}

export const competenceStateWords: Record<CompetenceStateWord, string> = {
  valid: 'valid',
  'expires-soon': 'ends within 60 days',
  expired: 'expired',
  revoked: 'revoked',
  'not-yet': 'not valid yet',
};
const ofCompetence: Record<CompetenceStateWord, Standing> = { valid: 'fine', 'expires-soon': 'soon', expired: 'over', revoked: 'ended', 'not-yet': 'ahead' };

/** How a competence stands today: shape, word and colour. */
export function CompetenceMark({ state }: { state: CompetenceStateWord }) {
  return <StandingMark standing={ofCompetence[state]} word={competenceStateWords[state]} />;
}

export const complianceWords: Record<ComplianceStateWord, string> = {
  overdue: 'overdue',
  failed: 'last test failed',
  'not-planned': 'not planned',
  'due-soon': 'due within 30 days',
  'in-date': 'in date',
};
export const complianceMeanings: Record<ComplianceStateWord, string> = {
  overdue: 'The latest date of the next test has passed.',
  failed: 'The last test was not passed, and no later one has been.',
  'not-planned': 'No safety task stands for this device: nobody is asked to test it.',
  'due-soon': 'The latest date of the next test lies within 30 days.',
  'in-date': 'Tested, and the next test lies more than 30 days ahead.',
};
const ofCompliance: Record<ComplianceStateWord, Standing> = { overdue: 'over', failed: 'failed', 'not-planned': 'missing', 'due-soon': 'soon', 'in-date': 'fine' };

/** Whether a safety device is tested in time: shape, word and colour; its meaning as the title. */
export function ComplianceMark({ state, word }: { state: ComplianceStateWord; word?: string }) {
  return <StandingMark standing={ofCompliance[state]} word={word ?? complianceWords[state]} title={complianceMeanings[state]} />;
}

const CONFIRM = 'confirm against the standard';
const sources: Record<SourceStatusWord, { standing: Standing; word: string; advice?: string }> = {
  read: { standing: 'fine', word: 'read in the source' },
  'second-hand': { standing: 'soon', word: 'second hand', advice: CONFIRM },
  'from-memory': { standing: 'missing', word: 'from memory', advice: CONFIRM },
  'common-practice': { standing: 'ahead', word: 'common practice', advice: 'the maker’s value comes first' },
};

/** How well a limit is known: shape, word and colour, and what to do about it. */
export function SourceMark({ status }: { status: SourceStatusWord }) {
  const { standing, word, advice } = sources[status];
  return (
    <>
      <StandingMark standing={standing} word={word} />
      {advice ? <span style={{ display: 'block', fontSize: '0.85em', color: palette.inkSoft }}>{advice}</span> : null}
    </>
  );
}
