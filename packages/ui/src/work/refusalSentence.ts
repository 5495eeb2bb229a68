import type { Facts, GaugeReasonCode, WorkRefusalCode, WorkState } from '@lintel/engine';
import { count } from '../format/dates.js';
import { formatWhole } from '../format/numbers.js';
import { stepKindWords, commandPast, workStateWords } from './workWords.js';

/** How the reader calls what a refusal names by id; what has no name is spoken of in general. */
export interface RefusalNames {
  step?: ((id: string) => string | undefined) | undefined;
  position?: ((id: string) => string | undefined) | undefined;
  finding?: ((id: string) => string | undefined) | undefined;
}

type Sentence = (facts: Facts, names: RefusalNames) => string;

/**
 * Why work was refused, as sentences: what is in the way, and what helps. For every code of the engine; a code from elsewhere
 * is shown as it is, so that nothing is refused without a word.
 */
export function refusalSentence(code: string, facts: Facts = {}, names: RefusalNames = {}): string {
  if (Object.hasOwn(sentences, code)) return sentences[code as WorkRefusalCode](facts, names);
  if (Object.hasOwn(bookSentences, code)) return bookSentences[code] ?? '';
  return `Refused: ${code.replaceAll('-', ' ')}.`;
}

/** What the books refuse beside the engine: other orders, other people, things that are not there. */
const bookSentences: Record<string, string> = {
  'ordered-already': 'An order that is still open is to do this already.',
  'finding-cleared': 'This finding has been put right already.',
  'finding-has-order': 'An order is to put this finding right already.',
  'unsafe-needs-retest': 'What was found unsafe is cleared only by a further order that tests the door again and passes.',
  'door-decommissioned': 'This door has been decommissioned: nothing is done at it any more.',
  'kind-needed': 'Say what kind of work it is.',
  'title-needed': 'Say what is to be done.',
  'not-yours': 'This order is another technician’s.',
  stale: 'Somebody else changed it meanwhile: look at it again.',
  'no-such-order': 'There is no such order here.',
  'no-such-door': 'There is no such door here.',
  'no-such-task': 'The task does not belong to this door, or has been archived.',
  'no-such-finding': 'There is no such finding here.',
  'no-such-position': 'This door has no such position.',
  'no-such-technician': 'Nobody of the company’s staff has this account.',
  'no-such-conflict': 'This contradiction has been settled already.',
  'no-such-image': 'The picture has not arrived yet.',
  'not-a-command': 'This version does not know what the device wanted to do.',
  'image-too-large': 'The picture is too large: 4 MB at most.',
  'not-an-image': 'This is no JPEG, PNG or WebP picture.',
  'id-taken': 'Another picture has this number already.',
};

const sentences: Record<WorkRefusalCode, Sentence> = {
  // the order
  'not-in-this-state': ({ state, command }) =>
    `An order that is ${workStateWords[state as WorkState] ?? text(state)} cannot be ${commandPast[command as keyof typeof commandPast] ?? text(command)}.`,
  'no-steps': () => 'There is no step to do: give the task a checklist, or the order a task, before it is released.',
  'step-twice': ({ stepId }, names) => `${step(stepId, names)} is there twice.`,
  'step-not-usable': ({ stepId, why }, names) => `${step(stepId, names)} cannot be used: ${stepFaults[text(why)] ?? text(why).replaceAll('-', ' ')}.`,
  'device-without-step': ({ positionIds }, names) =>
    `Not every safety device has a test: ${named(positionIds, names.position, 'a safety device')}. An inspection tests them all.`,
  'retest-without-check': () => 'This order is to test again what was found unsafe, but none of its steps is a safety check that must be answered.',
  'no-such-step': () => 'This order has no such step.',
  'cautions-first': ({ stepIds }, names) => `Confirm the cautions first: ${named(stepIds, names.step, 'a caution')}.`,
  'finding-twice': () => 'This finding has been reported already.',
  'steps-unanswered': ({ stepIds }, names) => `Not every step is answered: ${named(stepIds, names.step, 'a step')}.`,
  'conflict-unsettled': ({ stepIds }, names) => `Two answers contradict each other: ${named(stepIds, names.step, 'a step')}. Settle which one stands first.`,
  'device-unchecked': ({ positionIds }, names) => `Not every safety device has been tested: ${named(positionIds, names.position, 'a safety device')}.`,
  'safety-check-failed': ({ stepIds }, names) =>
    `A safety check failed, so the door cannot be passed: ${named(stepIds, names.step, 'a safety check')}. Complete the order as not passed.`,
  'unsafe-finding': ({ findingIds }, names) =>
    `The door was found unsafe, so it cannot be passed: ${named(findingIds, names.finding, 'a finding')}. Complete the order as not passed; a further order tests the door again.`,
  'unsafe-not-retested': ({ findingIds }, names) =>
    `An unsafe finding is open on this door that this order does not test again: ${named(findingIds, names.finding, 'a finding')}.`,
  'not-competent': ({ kinds }) =>
    `Your competence on record does not cover this: ${list(strings(kinds).map((kind) => kind.replaceAll('-', ' ')))}. Nothing is lost: somebody who is competent completes the order, or your planner records your competence.`,
  'failure-without-finding': ({ stepIds }, names) =>
    `A safety check failed and nothing has been reported about it: ${named(stepIds, names.step, 'a safety check')}. Report a defect or an unsafe door at that step first.`,
  // the answer to a step
  'other-kind': ({ kind, expected }) => `This step asks to ${kindWord(expected)}, not to ${kindWord(kind)}.`,
  'caution-not-confirmed': () => 'A caution must be confirmed. If it cannot be, do not begin the work.',
  'remark-needed': () => 'Say what was wrong: a failed check needs a remark.',
  'not-a-number': () => 'A number is needed.',
  'other-unit': ({ unit, expected }) => `The value is in ${text(unit)}; this step is measured in ${text(expected)}.`,
  'finer-than-resolution': ({ resolution, unit }) => `Finer than the instrument shows: it reads in steps of ${text(resolution)} ${text(unit)}.`,
  'not-an-option': ({ options }) => `Choose one of: ${list(options)}.`,
  'too-few-photographs': ({ photographs, least }) => `${count(Number(least), 'photograph')} needed at least, ${text(photographs)} taken.`,
  'photograph-twice': () => 'The same photograph is there twice.',
  'not-a-count': () => 'A whole number is needed, zero or more.',
  'curve-not-usable': ({ heightMm, across, why }) =>
    `The curve ${text(heightMm)} mm over the floor, ${text(across)}, cannot be read (${text(why).replaceAll('-', ' ')}): take that reading again.`,
  'beyond-modulus': ({ value, modulus }) => `The counter cannot show ${formatWhole(Number(value))}: it begins again at zero after ${formatWhole(Number(modulus) - 1)}.`,
  'gauge-not-usable': ({ reasons }) => `This force gauge may not be used: ${strings(reasons).map((reason) => gaugeFaults[reason as keyof typeof gaugeFaults] ?? reason.replaceAll('-', ' ')).join('; ')}.`,
  'readings-missing': ({ missing, needed }) => {
    const lacking = typeof missing === 'number' ? missing : strings(missing).length;
    return `${count(lacking, 'reading')} of ${text(needed)} still missing: a test that has not failed must be complete.`;
  },
  'not-a-point': ({ heightMm, across }) => `${text(heightMm)} mm over the floor, ${text(across)}, is no measuring point of this door.`,
  'opening-too-small': ({ leastWidthMm, leastHeightMm }) =>
    `The opening is too small for the measuring points: they need ${text(leastWidthMm)} mm by ${text(leastHeightMm)} mm at least.`,
  'nothing-done': () => 'Say what was done: a part removed, a part fitted, or both.',
  'reason-needed': () => 'A reason is needed.',
  empty: () => 'Something must be written here.',
  'too-long': ({ characters, most }) => `Too long: ${formatWhole(Number(characters))} characters, ${formatWhole(Number(most))} at most.`,
  // a closing force
  'not-a-gap': () => 'The height of a reading must be a number of millimetres above zero.',
  'gap-below-range': ({ leastMm }) => `The gap is smaller than the limits know${leastMm === undefined ? '' : `: ${text(leastMm)} mm at least`}.`,
  'no-readings': () => 'No reading has been taken here.',
  'not-a-figure': ({ figure }) => `${figureWords[text(figure)] ?? 'A figure'} must be a number, zero or more.`,
  'greater-than-peak': ({ figure, value, peakNewton }) =>
    `${figureWords[text(figure)] ?? 'A force'} of ${newton(value)} is above the peak of ${newton(peakNewton)}: one of the two is mistyped.`,
};

const stepFaults: Record<string, string> = {
  'lower-above-upper': 'its lower limit is above its upper one',
  'resolution-not-positive': 'its resolution must be above zero',
  'safety-without-limit': 'it is a safety check, but nothing that is answered could fail it',
  'no-options': 'it has no options to choose from',
  'failing-not-an-option': 'an option that fails is not among its options',
};

export const gaugeFaults: Record<GaugeReasonCode | 'not-on-record', string> = {
  'not-on-record': 'it is not one of the instruments that your company keeps on record',
  'sampling-too-slow': 'it samples too slowly',
  'accuracy-too-coarse': 'it is not accurate enough',
  'range-starts-too-high': 'its range starts too high',
  'range-ends-too-low': 'its range ends too low',
  'spring-differs': 'its spring is another than the limits ask for',
  'disc-differs': 'its disc is another than the limits ask for',
  'calibration-unknown': 'its calibration is not known',
  'calibration-in-future': 'its calibration lies in the future',
  'calibration-expired': 'its calibration has expired',
};

const figureWords: Record<string, string> = {
  peakNewton: 'The peak force',
  dynamicMs: 'The dynamic time',
  staticNewton: 'The static force',
  residualNewton: 'The residual force',
};

type Fact = Facts[string] | undefined;

function text(fact: Fact): string {
  return fact === undefined ? '' : Array.isArray(fact) ? fact.join(', ') : String(fact);
}

function strings(fact: Fact): readonly string[] {
  return Array.isArray(fact) ? (fact as readonly string[]) : fact === undefined ? [] : [String(fact)];
}

const list = (fact: Fact): string => strings(fact).join(', ');
const newton = (fact: Fact): string => `${formatWhole(Number(fact))} N`;

function kindWord(fact: Fact): string {
  return (stepKindWords[text(fact) as keyof typeof stepKindWords] ?? text(fact)).toLowerCase();
}

function step(fact: Fact, names: RefusalNames): string {
  const name = names.step?.(text(fact));
  return name === undefined ? 'A step' : `The step ‘${name}’`;
}

const mostNamed = 5;

/** The names of what is listed; where none is known, how many there are. */
function named(fact: Fact, nameOf: ((id: string) => string | undefined) | undefined, one: string): string {
  const ids = strings(fact);
  const known = ids.flatMap((id) => nameOf?.(id) ?? []);
  if (known.length === 0) return ids.length === 1 ? one : count(ids.length, one.replace(/^an? /, ''));
  const shown = known.slice(0, mostNamed).map((name) => `‘${name}’`).join(', ');
  return ids.length > mostNamed || known.length < ids.length ? `${shown} and ${ids.length - Math.min(known.length, mostNamed)} more` : shown;
}
