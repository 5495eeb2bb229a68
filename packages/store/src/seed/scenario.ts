import { readFileSync } from 'node:fs';
import type { DoorKind, FaultKind, PartKind, Role } from '@lintel/contract';

export interface Scenario {
  company: string;
  largeCompany: string;
  people: { role: Role; email: string; name: string; owner?: string }[];
  owners: { name: string; contactName: string }[];
  sites: ScenarioSite[];
  zones: { name: string; temperatureClass: 'freezer' | 'cooler' | 'ambient' | 'outdoor'; setPointCelsius?: number }[];
  doors: Record<DoorKind, { share: number; letter: string; from: string; to: string; medianCyclesPerDay: number }>;
  /** Who drives (the first is the sign-in's technician), when sites can be entered, what lies in the vans. */
  routes: {
    crew: { name: string; email: string; latitude: number; longitude: number; timeZone: string; skills: string[]; hours: { from: string; to: string } }[];
    siteHours: { site: string; opensAt: string; closesAt: string; note: string }[];
    stock: { code: string; kind: PartKind; name: string; cost: number; weightKg: number; inVan: number; inStore: number; lowAt: number }[];
  };
  faultCodes: { code: string; name: string; kind: FaultKind; advice: string; weight: number }[];
  /** What the door types' maker says of some parts. */
  makersRatings: {
    source: string;
    parts: { door: DoorKind; kind: PartKind; b10Cycles: number; lifeShape: number; shapeSpread: number; ratingSpread: number }[];
  };
  /** What replacing a part costs, planned and after a failure with all that follows, in minor units. */
  costs: { currency: string; parts: { kind: PartKind; planned: number; failure: number }[] };
  /** Figures of chains and bearings; and how long a chain is by its B10, in the middle. */
  handbook: {
    chain: { chainPitchMm: number; sprocketTeeth: number; fixedCentres: boolean };
    bearing: { bearingKind: 'ball' | 'roller'; bearingRatingKn: number; bearingLoadKn: number; turnsPerCycle: number; bearingSource: string };
    elongationAtB10Percent: number;
  };
  /** Operations by which one in ten of a safety device has failed dangerously. */
  safetyLives: { kind: PartKind; b10dCycles: number }[];
  reasons: { outOfService: string; decommissioned: string; earlyFailure: string; notPassed: string; notes: string[] };
}

export interface ScenarioSite {
  name: string;
  owner: string;
  region: string;
  countryCode: string;
  timeZone: string;
  latitude: number;
  longitude: number;
  currency: string;
  units?: 'us';
  doors: number;
  regimeMonths?: number;
  regimeSource?: string;
}

/** The demo scenario: `seed/scenario.json` at the root of the project. */
export function readScenario(): Scenario {
  // As far from the root in the sources as in what is built from them.
  return JSON.parse(readFileSync(new URL('../../../../seed/scenario.json', import.meta.url), 'utf8')) as Scenario;
}

/**
 * The sites of a demo of any size: those of the scenario with their doors; for a larger one the same again under numbers, for
 * a smaller one the first doors of each.
 */
export function sitesFor(scenario: Scenario, doors: number): ScenarioSite[] {
  const whole = scenario.sites.reduce((sum, site) => sum + site.doors, 0);
  if (doors <= whole) return shared(scenario.sites, doors, whole);
  const rounds = Math.ceil(doors / whole);
  const sites = Array.from({ length: rounds }, (_, round) =>
    scenario.sites.map((site) => (round === 0 ? site : { ...site, name: `${site.name} ${round + 1}` })),
  ).flat();
  return shared(sites, doors, whole * rounds);
}

/** Cuts the doors of the sites down to a number in all, each by its share. */
function shared(sites: readonly ScenarioSite[], doors: number, whole: number): ScenarioSite[] {
  let seen = 0;
  let given = 0;
  return sites.map((site) => {
    seen += site.doors;
    const upTo = Math.round((doors * seen) / whole);
    const part = { ...site, doors: upTo - given };
    given = upTo;
    return part;
  });
}
