import type { ChecklistStep } from '@lintel/contract';
import { isolateFirst as isolated, testUnderPower } from '@lintel/engine';
import type { LibraryTask } from './libraryTypes.js';

const CONFIRM_LOCALLY = 'confirm against local rules';

const cautions = (texts: readonly string[]): ChecklistStep[] => texts.map((text) => ({ kind: 'confirm', text, caution: true }));

/** First steps of every task that reaches into the door. */
const isolateFirst = cautions(isolated);
/** First steps of tests that need the door under power. */
const liveTest = cautions(testUnderPower);

const handBack: readonly ChecklistStep[] = [
  { kind: 'read-counter', text: 'Cycle counter' },
  { kind: 'confirm', text: 'Tools and people clear; door run through three full cycles; handed back.' },
];

const deviceTests: readonly ChecklistStep[] = [
  { kind: 'test-device', partKind: 'light-beam', text: 'Safety beam: interrupted while closing, the door stops and opens again.' },
  { kind: 'test-device', partKind: 'slack-switch-left', text: 'Slack switch, left: tripped while closing, the door stops and opens again.' },
  { kind: 'test-device', partKind: 'slack-switch-right', text: 'Slack switch, right: tripped while closing, the door stops and opens again.' },
  { kind: 'test-device', partKind: 'bottom-edge', text: 'Bottom edge: meeting an obstacle, the door stops and opens again.' },
  { kind: 'test-device', partKind: 'push-buttons', text: 'Stop button: pressed while moving, the door stops and stays.' },
  { kind: 'test-device', partKind: 'motion-sensor', text: 'Motion sensor: opens the door and holds it open for whoever stands in its field.' },
  { kind: 'test-device', partKind: 'sounder', text: 'Sounder: warns before and while the door moves.' },
];

/** Points, limits and their sources: the engine's measuring points and force limits. */
const forceTest: ChecklistStep = {
  kind: 'force-test',
  text: 'Closing force: low, in the middle and high, each at mid-width and 200 mm from both sides, three times; judged by the mean',
};

export const deviceCheckTask: LibraryTask = {
  name: 'Function test of the safety devices',
  safety: true,
  intervalMonths: 6,
  earlyDays: 30,
  graceDays: 0,
  minutes: 40,
  skills: ['mechanical'],
  checklist: [...liveTest, ...deviceTests, { kind: 'photograph', text: 'The door, closed, from the front' }, ...handBack],
  parts: [],
  source:
    'France: at least every 6 months (decree of 21 December 1993, article from memory). ' +
    `Britain: no fixed period in law; trade guidance 6 months for powered industrial doors. ${CONFIRM_LOCALLY}`,
};

export const yearlyInspectionTask: LibraryTask = {
  name: 'Safety inspection with force measurement',
  safety: true,
  intervalMonths: 12,
  earlyDays: 45,
  graceDays: 0,
  minutes: 90,
  skills: ['mechanical', 'force-measurement'],
  checklist: [
    ...liveTest,
    ...deviceTests,
    forceTest,
    { kind: 'confirm', text: 'Lock-out procedure at this door gone through and still right.' },
    {
      kind: 'choose',
      text: 'Result',
      options: ['safe to use', 'usable with defects named', 'unsafe and taken out of service'],
      failing: ['unsafe and taken out of service'],
      safety: true,
    },
    ...handBack,
  ],
  parts: [],
  source:
    'Germany: at least yearly as a rule (ASR A1.7 section 10, read in pages quoting it). ' +
    'Australia: yearly (WHS Regulations 213, from memory). USA: lock-out procedure yearly (29 CFR 1910.147(c)(6)). ' +
    `Force limits: EN 12453 as recalled. ${CONFIRM_LOCALLY}`,
};

export const driveServiceTask: LibraryTask = {
  name: 'Service of drive and chain',
  safety: false,
  intervalCycles: 100_000,
  intervalMonths: 12,
  earlyDays: 30,
  graceDays: 14,
  minutes: 60,
  skills: ['mechanical'],
  checklist: [
    ...isolateFirst,
    // Roller chain on fixed centres: wear limit 1.5 % (two chain makers' pages citing ASME B29.1).
    { kind: 'measure', text: 'Chain elongation over at least 12 pitches, under tension', unit: '%', lower: 0, upper: 1.5, partKind: 'drive-chain' },
    { kind: 'confirm', text: "Chain cleaned and lubricated, tension as the maker says; sprockets without hooked teeth." },
    { kind: 'confirm', text: 'Roller bearings turn without play or noise; greased where they take grease.' },
    { kind: 'confirm', text: 'Brake holds the open panel; no oil at the gear.' },
    ...handBack,
  ],
  parts: ['drive-chain', 'roller-bearings', 'drive-motor'],
  source: "common practice, no source; replace with the maker's",
};

export const panelServiceTask: LibraryTask = {
  name: 'Look-over of panel, guides and seals',
  safety: false,
  intervalCycles: 50_000,
  intervalMonths: 6,
  earlyDays: 21,
  graceDays: 14,
  minutes: 30,
  skills: ['mechanical'],
  checklist: [
    ...isolateFirst,
    { kind: 'confirm', text: 'Panel without tears, open seams or frayed edges.' },
    { kind: 'confirm', text: 'Guides straight, clean and lubricated as the maker says; seals close all round.' },
    { kind: 'confirm', text: 'Bottom edge straight; switches and their cables undamaged.' },
    { kind: 'photograph', text: 'Worst place found, if any', optional: true },
    ...handBack,
  ],
  parts: ['fabric-panel', 'side-guides', 'bottom-edge'],
  source: "common practice, no source; replace with the maker's",
};

export const electricalServiceTask: LibraryTask = {
  name: 'Look-over of control and wiring',
  safety: false,
  intervalMonths: 12,
  earlyDays: 45,
  graceDays: 30,
  minutes: 45,
  skills: ['electrical'],
  checklist: [
    ...isolateFirst,
    { kind: 'confirm', text: 'Terminals tight, no heat marks, cable entries sealed, no water or ice in the cabinet.' },
    { kind: 'confirm', text: 'Cooling of the frequency converter free of dust.' },
    { kind: 'confirm', text: 'Supply isolator switches, can be locked; supply side touched by a licensed electrician only.' },
    ...handBack,
  ],
  parts: ['frequency-converter', 'control-board', 'supply-isolator'],
  source: "common practice, no source; replace with the maker's",
};

export const frameHeatingTask: LibraryTask = {
  name: 'Check of frame heating and fans',
  safety: false,
  intervalMonths: 3,
  earlyDays: 21,
  graceDays: 14,
  minutes: 30,
  skills: ['mechanical'],
  checklist: [
    ...liveTest,
    { kind: 'measure', text: 'Frame air temperature, supply side', unit: '°C' },
    { kind: 'measure', text: 'Frame air temperature, return side', unit: '°C' },
    { kind: 'confirm', text: 'All fans run without noise; air leaves along the whole frame.' },
    { kind: 'confirm', text: 'Frame, guides and panel edge dry and free of ice; floor at the door free of ice.' },
    ...handBack,
  ],
  parts: ['frame-heating', 'frame-fans', 'supply-temperature-sensor', 'return-temperature-sensor'],
  source: "common practice, no source; replace with the maker's",
};

export const dockImpactTask: LibraryTask = {
  name: 'Look-over for vehicle damage',
  safety: false,
  intervalMonths: 3,
  earlyDays: 21,
  graceDays: 14,
  minutes: 20,
  skills: ['mechanical'],
  checklist: [
    ...isolateFirst,
    { kind: 'confirm', text: 'Guides, floor anchors and impact guards neither bent nor loose.' },
    { kind: 'confirm', text: 'Panel runs back into its guides by itself after being pushed out, where it is made to.' },
    ...handBack,
  ],
  parts: ['side-guides', 'fabric-panel', 'bottom-edge'],
  source: 'common practice, no source',
};
