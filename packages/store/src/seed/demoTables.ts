import type { CompanyContext, CompanyDb } from '../context.js';
import { RowWriter } from './rows.js';

/** Rows of one table to a statement, about. */
const BATCH_ROWS = 5_000;

/** Writers of the tables that hold most of a demo, in the order in which their rows need each other. */
export class DemoTables {
  readonly doors;
  readonly counters;
  readonly readings;
  readonly fittedParts;
  readonly completions;
  readonly faults;
  readonly chainMeasurements;

  constructor(db: CompanyDb, { companyId }: CompanyContext) {
    this.doors = new RowWriter(db, companyId, 'door', {
      id: 'uuid', site_id: 'uuid', door_type_id: 'uuid', name: 'text', serial: 'text', from_zone_id: 'uuid', to_zone_id: 'uuid',
      width_mm: 'int', height_mm: 'int', installed_on: 'date', state: '"DoorState"', state_reason: 'text', state_since: 'timestamptz',
    });
    this.counters = new RowWriter(db, companyId, 'counter', {
      id: 'uuid', door_id: 'uuid', name: 'text', fitted_at: 'timestamptz', removed_at: 'timestamptz', modulus: 'bigint',
      start_cycles: 'bigint', start_value: 'bigint',
    });
    this.readings = new RowWriter(db, companyId, 'reading', {
      id: 'uuid', door_id: 'uuid', counter_id: 'uuid', at: 'timestamptz', value: 'bigint', source: '"ReadingSource"',
      received_at: 'timestamptz',
    });
    this.fittedParts = new RowWriter(db, companyId, 'fitted_part', {
      id: 'uuid', door_id: 'uuid', position_id: 'uuid', serial: 'text', fitted_at: 'timestamptz', fitted_cycles: 'bigint',
      removed_at: 'timestamptz', removed_cycles: 'bigint', removal_reason: '"RemovalReason"', note: 'text',
    });
    this.completions = new RowWriter(db, companyId, 'completion', {
      id: 'uuid', door_id: 'uuid', task_id: 'uuid', done_at: 'timestamptz', lifetime_cycles: 'bigint', passed: 'boolean', note: 'text',
      account_id: 'uuid', recorded_at: 'timestamptz',
    });
    this.faults = new RowWriter(db, companyId, 'fault', {
      id: 'uuid', door_id: 'uuid', fault_code_id: 'uuid', at: 'timestamptz', lifetime_cycles: 'bigint', source: '"FaultSource"',
      account_id: 'uuid', received_at: 'timestamptz',
    });
    this.chainMeasurements = new RowWriter(db, companyId, 'chain_measurement', {
      id: 'uuid', door_id: 'uuid', fitted_part_id: 'uuid', measured_at: 'timestamptz', lifetime_cycles: 'bigint', pitches: 'int',
      length_mm: 'numeric', pitch_mm: 'numeric', elongation_percent: 'float8', account_id: 'uuid', received_at: 'timestamptz',
    });
  }

  /** Writes what is gathered once it is some thousand rows; all tables together, for later ones refer to earlier ones. */
  async flushWhenMany(): Promise<void> {
    if (Math.max(...this.all().map((table) => table.waiting)) >= BATCH_ROWS) await this.flush();
  }

  async flush(): Promise<void> {
    for (const table of this.all()) await table.flush();
  }

  private all() {
    return [this.doors, this.counters, this.readings, this.fittedParts, this.completions, this.faults, this.chainMeasurements] as const;
  }
}
