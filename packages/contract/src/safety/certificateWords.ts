import type { CertificateContent, CertificateOutcome, ForceReasonCode, SafetyDevice } from '@lintel/engine';
import type { CertificateState } from './certificate.js';

/** How a certificate reads, on paper, on the public page and in the command alike. */
export const certificateTitle: Record<CertificateContent['kind'], string> = {
  inspection: 'Certificate of safety inspection',
  commissioning: 'Certificate of commissioning',
};

export const resultWords = (passed: boolean): string => (passed ? 'Passed' : 'Not passed');

export const certificateStateWords: Record<CertificateState | 'unknown', { word: string; meaning: string }> = {
  valid: { word: 'Valid', meaning: 'It is genuine, and no newer one of this door stands in its place.' },
  superseded: { word: 'Superseded', meaning: 'It is genuine, but a newer one of this door stands in its place.' },
  withdrawn: { word: 'Withdrawn', meaning: 'The company that issued it has taken it back: it proves nothing any more.' },
  unknown: { word: 'Unknown', meaning: 'No certificate has this number.' },
};

export const deviceWords: Record<SafetyDevice, string> = {
  'light-beam': 'light beam',
  'bottom-edge': 'bottom edge',
  'slack-switch': 'slack switch',
  'emergency-stop': 'emergency stop',
  'supply-isolator': 'supply isolator',
  activation: 'activation',
  warning: 'warning',
  other: 'other safety device',
};

export const certificateOutcomeWords: Record<CertificateOutcome, string> = {
  passed: 'passed', failed: 'FAILED', recorded: 'recorded', 'not-done': 'not done',
};

export const forceReasonWords: Record<ForceReasonCode, string> = {
  'peak-too-high': 'peak too high',
  'dynamic-too-long': 'dynamic period too long',
  'static-too-high': 'static force too high',
  'residual-too-high': 'residual force too high',
  'no-contact': 'nothing was touched',
  'static-phase-not-seen': 'record ends before the static phase',
  'record-too-short': 'record too short',
  'sampling-too-slow': 'sampled too slowly',
  'samples-missing': 'samples missing',
  'readings-missing': 'readings missing',
};

export const competenceKindWords: Record<string, string> = { 'safety-inspection': 'safety inspection', 'force-measurement': 'force measurement' };

type Units = CertificateContent['site']['units'];

const NEWTON_PER_POUND = 4.4482216152605;
const MM_PER_INCH = 25.4;
const round = (value: number, digits: number): string => String(Number(value.toFixed(digits)));

/** `3000 mm`; at sites with US units `118.1 in (3000 mm)`: limits are set in metric units, and stay readable as such. */
export function certificateLength(units: Units, mm: number): string {
  return units === 'us' ? `${round(mm / MM_PER_INCH, 1)} in (${round(mm, 0)} mm)` : `${round(mm, 0)} mm`;
}

/** A force as a number in the site's unit. */
export const forceIn = (units: Units, newton: number): number => Number((units === 'us' ? newton / NEWTON_PER_POUND : newton).toFixed(units === 'us' ? 1 : 0));
export const forceUnit = (units: Units): string => (units === 'us' ? 'lbf' : 'N');

/** `400 N`; at sites with US units `89.9 lbf (400 N)`. */
export function certificateForce(units: Units, newton: number): string {
  return units === 'us' ? `${forceIn(units, newton)} lbf (${round(newton, 0)} N)` : `${round(newton, 0)} N`;
}

const civil = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });

/** `25 November 2026`: no country misreads it. */
export const certificateDate = (date: string): string => civil.format(new Date(`${date}T00:00:00Z`));

/** An instant by the clock at the site, its zone named. */
export function certificateInstant(instant: string, timeZone: string): string {
  const format = new Intl.DateTimeFormat('en-GB', {
    day: 'numeric', month: 'long', year: 'numeric', hour: '2-digit', minute: '2-digit', hour12: false, timeZone, timeZoneName: 'short',
  });
  return format.format(new Date(instant));
}

/** A fingerprint or hash in groups of four, to be compared by eye. */
export const hexGroups = (hex: string): string => hex.match(/.{1,4}/g)?.join(' ') ?? '';
