import type { DoorKind } from '@lintel/contract';
import { newId, type CompanyContext, type CompanyDb } from '../context.js';
import { completionsOf } from './completionHistory.js';
import { measurementsOf } from './chainHistory.js';
import { countersAndReadings, type DemoReading } from './counterReadings.js';
import { DemoTables } from './demoTables.js';
import type { DemoType } from './demoTypes.js';
import { Dice } from './dice.js';
import { DAY_MS, DoorHistory } from './doorHistory.js';
import { faultsOf, type DemoCode, type HeldPart } from './faultHistory.js';
import { partsOf } from './partHistory.js';
import type { Scenario, ScenarioSite } from './scenario.js';
import type { SeedOptions } from './seedDemo.js';
import { troubleOf, type Trouble } from './troubles.js';

/** The door of the demo that is getting worse. */
const WORSENING_DOOR = 1;

/** Progress is told each time so many doors are made. */
const DOORS_A_REPORT = 500;

interface Setting {
  scenario: Scenario;
  types: readonly DemoType[];
  codes: readonly DemoCode[];
  technicianId: string;
  options: SeedOptions;
}

interface DoorPlace {
  siteId: string;
  type: DemoType;
  name: string;
  zones: ReadonlyMap<string, string>;
  regimeMonths: number | null;
}

const iso = (at: number | null): string | null => (at === null ? null : new Date(Math.round(at)).toISOString());

/** One door on its way into the store. */
interface DemoDoor {
  id: string;
  place: DoorPlace;
  trouble: Trouble | null;
  history: DoorHistory;
  counterIds: string[];
  readings: DemoReading[];
}

/**
 * Makes the demo's sites with their doors and the doors' histories. All doors and counters go in before anything that refers to
 * them: the server plans its checks of such references once, and while a table is small it plans to read it whole each time.
 */
export class DemoDoors {
  private readonly tables: DemoTables;
  private readonly doors: DemoDoor[] = [];

  constructor(
    private readonly db: CompanyDb,
    private readonly context: CompanyContext,
    private readonly dice: Dice,
    private readonly setting: Setting,
  ) {
    this.tables = new DemoTables(db, context);
  }

  async addSite(site: ScenarioSite, ownerId: string, doorsInAll: number): Promise<void> {
    if (site.doors === 0) return;
    const { companyId } = this.context;
    const siteId = newId();
    await this.db.site.create({
      data: {
        companyId, id: siteId, ownerId, name: site.name, address: site.region, countryCode: site.countryCode,
        timeZone: site.timeZone, latitude: site.latitude, longitude: site.longitude, currency: site.currency,
        units: site.units ?? 'metric', regimeMonths: site.regimeMonths ?? null, regimeSource: site.regimeSource ?? null,
      },
    });
    const zones = this.setting.scenario.zones.map((zone) => ({
      companyId, id: newId(), siteId, name: zone.name, temperatureClass: zone.temperatureClass,
      setPointCelsius: zone.setPointCelsius ?? null,
    }));
    await this.db.zone.createMany({ data: zones });
    const zoneIds = new Map(zones.map((zone) => [zone.name, zone.id]));
    const numbers = new Map<DoorKind, number>();
    for (let index = 0; index < site.doors; index++) {
      const type = this.setting.types.find(({ kind }) => kind === this.kindOf(index, site.doors))!;
      const number = (numbers.get(type.kind) ?? 0) + 1;
      numbers.set(type.kind, number);
      const name = `${this.setting.scenario.doors[type.kind].letter}-${String(number).padStart(2, '0')}`;
      const place = { siteId, type, name, zones: zoneIds, regimeMonths: site.regimeMonths ?? null };
      await this.addDoor(place, troubleOf(this.doors.length, doorsInAll));
    }
  }

  async finish(): Promise<Record<'doors' | 'readings' | 'fittedParts' | 'completions' | 'faults', number>> {
    await this.tables.flush();
    for (const [index, door] of this.doors.entries()) {
      this.addReadings(door);
      const parts = this.addParts(door);
      this.addCompletions(door);
      this.addFaults(door, index, parts);
      this.addMeasurements(door, index, parts);
      await this.tables.flushWhenMany();
      if ((index + 1) % DOORS_A_REPORT === 0) this.setting.options.onProgress?.(index + 1);
    }
    await this.tables.flush();
    const { doors, readings, fittedParts, completions, faults } = this.tables;
    return {
      doors: doors.written, readings: readings.written, fittedParts: fittedParts.written, completions: completions.written,
      faults: faults.written,
    };
  }

  private kindOf(index: number, doors: number): DoorKind {
    const { freezer, cooler } = this.setting.scenario.doors;
    const share = (index + 0.5) / doors;
    return share < freezer.share ? 'freezer' : share < freezer.share + cooler.share ? 'cooler' : 'dock';
  }

  private async addDoor(place: DoorPlace, trouble: Trouble | null): Promise<void> {
    const { dice, setting } = this;
    const { medianCyclesPerDay } = setting.scenario.doors[place.type.kind];
    const modulus = trouble === 'rolled-over' ? dice.pick([100_000, 1_000_000]) : dice.chance(0.5) ? 1_000_000 : 10_000_000;
    const history = DoorHistory.make(dice, setting.options.now, medianCyclesPerDay, trouble, trouble === 'rolled-over' ? modulus : null);
    const door = { id: newId(), place, trouble, history };
    this.addDoorRow(door);
    this.doors.push({ ...door, ...this.addCounters(door, modulus) });
    await this.tables.flushWhenMany();
  }

  private addDoorRow({ id, place, trouble, history }: Omit<DemoDoor, 'counterIds' | 'readings'>): void {
    const { scenario, options } = this.setting;
    const { from, to } = scenario.doors[place.type.kind];
    const narrower = this.dice.pick([0, 0, 200, 400]);
    const [state, reason, days] =
      trouble === 'out-of-service' ? (['out_of_service', scenario.reasons.outOfService, 3] as const)
      : trouble === 'decommissioned' ? (['decommissioned', scenario.reasons.decommissioned, 90] as const)
      : (['in_service', null, null] as const);
    this.tables.doors.add({
      id, site_id: place.siteId, door_type_id: place.type.id, name: place.name,
      serial: `FD${String(100_000 + this.doors.length * 7)}`, from_zone_id: place.zones.get(from)!, to_zone_id: place.zones.get(to)!,
      width_mm: place.type.widthMm - narrower, height_mm: place.type.heightMm, installed_on: iso(history.installedAt)!.slice(0, 10),
      state, state_reason: reason, state_since: iso(days === null ? history.installedAt : options.now - days * DAY_MS)!,
    });
  }

  private addCounters({ id, trouble, history }: Omit<DemoDoor, 'counterIds' | 'readings'>, modulus: number) {
    const { counters, readings } = countersAndReadings(this.dice, history, trouble, {
      modulus,
      modulusKnown: trouble !== 'rolled-over' && this.dice.chance(0.4),
      readingsPerDoor: this.setting.options.readingsPerDoor ?? null,
    });
    const counterIds = counters.map(() => newId());
    for (const [index, counter] of counters.entries()) {
      this.tables.counters.add({
        id: counterIds[index]!, door_id: id, name: counter.name, fitted_at: iso(counter.fittedAt), removed_at: iso(counter.removedAt),
        modulus: counter.modulus, start_cycles: counter.startCycles, start_value: counter.startValue,
      });
    }
    return { counterIds, readings };
  }

  private addReadings({ id, counterIds, readings }: DemoDoor): void {
    for (const { counter, at, value, source } of readings) {
      this.tables.readings.add({
        id: newId(), door_id: id, counter_id: counterIds[counter]!, at: iso(at), value, source, received_at: iso(at),
      });
    }
  }

  private addParts({ id, place, trouble, history }: DemoDoor): HeldPart[] {
    const held: HeldPart[] = [];
    for (const position of place.type.positions) {
      for (const part of partsOf(this.dice, history, position, trouble, this.setting.scenario.reasons)) {
        const partId = newId();
        this.tables.fittedParts.add({
          id: partId, door_id: id, position_id: position.id, serial: this.dice.chance(0.3) ? `P${this.dice.whole(10_000, 99_999)}` : null,
          fitted_at: iso(part.fittedAt), fitted_cycles: history.cyclesAt(part.fittedAt), removed_at: iso(part.removedAt),
          removed_cycles: part.removedAt === null ? null : history.cyclesAt(part.removedAt), removal_reason: part.reason, note: part.note,
        });
        held.push({ ...part, id: partId, kind: position.kind });
      }
    }
    return held;
  }

  private addCompletions({ id, place, trouble, history }: DemoDoor): void {
    for (const task of place.type.tasks) {
      for (const [index, at] of completionsOf(this.dice, history, task, trouble, place.regimeMonths).entries()) {
        const passed = index === 0 || !task.safety || !this.dice.chance(0.04);
        this.tables.completions.add({
          id: newId(), door_id: id, task_id: task.id, done_at: iso(at), lifetime_cycles: history.cyclesAt(at), passed,
          note: passed ? null : this.setting.scenario.reasons.notPassed, account_id: this.setting.technicianId, recorded_at: iso(at),
        });
      }
    }
  }

  /** Of every other door's chain, from dice of the door's own. */
  private addMeasurements({ id, place, history }: DemoDoor, index: number, parts: readonly HeldPart[]): void {
    const running = parts.find(({ kind, removedAt }) => kind === 'drive-chain' && removedAt === null);
    const b10Cycles = place.type.positions.find(({ kind }) => kind === 'drive-chain')?.b10Cycles;
    if (index % 2 === 1 || running === undefined || b10Cycles == null) return;
    const { options, scenario: { handbook }, technicianId } = this.setting;
    const pitchMm = handbook.chain.chainPitchMm;
    const chain = { pitchMm, percentPerCycle: handbook.elongationAtB10Percent / b10Cycles };
    for (const measured of measurementsOf(new Dice(options.seed + 104_729 * (index + 1)), history, running.fittedAt, chain)) {
      this.tables.chainMeasurements.add({
        id: newId(), door_id: id, fitted_part_id: running.id, measured_at: iso(measured.at), lifetime_cycles: Math.round(measured.lifetimeCycles),
        pitches: measured.pitches, length_mm: measured.lengthMm, pitch_mm: pitchMm, elongation_percent: measured.elongationPercent,
        account_id: technicianId, received_at: iso(measured.at),
      });
    }
  }

  /** From dice of the door's own: the rest of the demo stays as it is, whatever doors report. */
  private addFaults({ id, trouble, history }: DemoDoor, index: number, parts: readonly HeldPart[]): void {
    const { codes, options, technicianId } = this.setting;
    const dice = new Dice(options.seed + 7919 * (index + 1));
    for (const { codeId, at } of faultsOf(dice, history, codes, parts, { trouble, worsens: index === WORSENING_DOOR })) {
      const wire = dice.chance(0.5);
      this.tables.faults.add({
        id: newId(), door_id: id, fault_code_id: codeId, at: iso(at), source: wire ? 'wire' : 'form',
        // What a counter in trouble would have said then is anybody's guess.
        lifetime_cycles: wire && trouble === null ? history.cyclesAt(at) : null, account_id: wire ? null : technicianId, received_at: iso(at),
      });
    }
  }
}
