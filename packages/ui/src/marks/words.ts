/** Words of states as people read them. The keys are the words of the wire. */
export type ConditionWord = 'sound' | 'wearing' | 'worn' | 'unknown';
export type StateWord = 'in-service' | 'out-of-service' | 'decommissioned';
export type VerdictWord =
  | 'used'
  | 'used-rollover'
  | 'used-reset'
  | 'duplicate'
  | 'out-of-order'
  | 'too-fast'
  | 'mistyped'
  | 'stuck'
  | 'set-aside'
  | 'pending';

export const conditionWords: Record<ConditionWord, string> = {
  sound: 'sound',
  wearing: 'wearing',
  worn: 'worn',
  unknown: 'unknown',
};

export const stateWords: Record<StateWord, string> = {
  'in-service': 'in service',
  'out-of-service': 'out of service',
  decommissioned: 'decommissioned',
};

export const verdictWords: Record<VerdictWord, string> = {
  used: 'used',
  'used-rollover': 'used, rolled over',
  'used-reset': 'used, new count',
  duplicate: 'set aside: duplicate',
  'out-of-order': 'set aside: out of order',
  'too-fast': 'set aside: faster than the door',
  mistyped: 'set aside: mistyped',
  stuck: 'set aside: stuck counter',
  'set-aside': 'set aside by a planner',
  pending: 'not judged yet',
};

/** What a verdict means, as a sentence. */
export const verdictMeanings: Record<VerdictWord, string> = {
  used: 'The reading follows the counter’s line and is used as it stands.',
  'used-rollover': 'The counter passed its last digit and began again at zero; the cycles across it are counted.',
  'used-reset': 'A new count began here; the cycles across the gap are an estimate.',
  duplicate: 'The same value at the same time was there already.',
  'out-of-order': 'The value is below the one before it and no rollover or reset explains that.',
  'too-fast': 'The door cannot have moved that often since the reading before.',
  mistyped: 'The next reading returns to the old line, so this value was typed wrongly.',
  stuck: 'The counter showed the same value for too long while the door was in use.',
  'set-aside': 'A planner decided not to use this reading.',
  pending: 'The next projection, seconds from now, will judge this reading.',
};

export function asState(word: string): StateWord {
  return word === 'out-of-service' || word === 'decommissioned' ? word : 'in-service';
}

export function asCondition(word: string | null | undefined): ConditionWord {
  return word === 'sound' || word === 'wearing' || word === 'worn' ? word : 'unknown';
}

export function asVerdict(word: string): VerdictWord {
  return word in verdictWords ? (word as VerdictWord) : 'pending';
}
