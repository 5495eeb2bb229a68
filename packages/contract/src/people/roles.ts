import { z } from 'zod';

export const role = z.enum(['planner', 'technician', 'owner', 'administrator']);
export type Role = z.infer<typeof role>;

const everybody: readonly Role[] = role.options;
const staff: readonly Role[] = ['planner', 'technician', 'administrator'];
const planners: readonly Role[] = ['planner', 'administrator'];
const administrators: readonly Role[] = ['administrator'];

/**
 * Who may read and who may write, by resource; what an owner reads is narrowed to its own sites by the database.
 * `readings`, `completions`, `counters` and `fitted-parts` are what a technician records.
 */
export const access = {
  owners: { read: everybody, write: planners },
  sites: { read: everybody, write: planners },
  zones: { read: everybody, write: planners },
  'door-types': { read: everybody, write: planners },
  'door-type-library': { read: planners, write: planners },
  positions: { read: everybody, write: planners },
  doors: { read: everybody, write: planners },
  'door-labels': { read: planners, write: planners },
  'door-state': { read: everybody, write: staff },
  counters: { read: everybody, write: staff },
  'fitted-parts': { read: everybody, write: staff },
  readings: { read: everybody, write: staff },
  overrules: { read: everybody, write: planners },
  duty: { read: everybody, write: planners },
  imports: { read: staff, write: planners },
  'fault-codes': { read: everybody, write: planners },
  faults: { read: everybody, write: staff },
  plans: { read: everybody, write: planners },
  tasks: { read: everybody, write: planners },
  completions: { read: everybody, write: staff },
  'due-items': { read: everybody, write: planners },
  outlook: { read: everybody, write: planners },
  'wear-models': { read: planners, write: administrators },
  'chain-measurements': { read: everybody, write: staff },
  'handbook-lives': { read: everybody, write: planners },
  'safety-lives': { read: everybody, write: planners },
  'force-limits': { read: everybody, write: administrators },
  instruments: { read: staff, write: planners },
  calibrations: { read: staff, write: planners },
  competences: { read: staff, write: administrators },
  compliance: { read: everybody, write: planners },
  /** To withdraw one; they are issued by completing an inspection. */
  certificates: { read: everybody, write: administrators },
  'certificate-keys': { read: everybody, write: administrators },
  renewals: { read: staff, write: planners },
  technicians: { read: staff, write: planners },
  absences: { read: staff, write: planners },
  'site-windows': { read: everybody, write: planners },
  'route-plans': { read: planners, write: planners },
  visits: { read: everybody, write: planners },
  'travel-times': { read: planners, write: planners },
  'calendar-feeds': { read: staff, write: staff },
  'stock-parts': { read: staff, write: planners },
  'van-stock': { read: staff, write: planners },
  'work-orders': { read: everybody, write: planners },
  /** What is done with an order where it is carried out. */
  'work-commands': { read: staff, write: staff },
  findings: { read: everybody, write: staff },
  'work-images': { read: everybody, write: staff },
  manuals: { read: staff, write: planners },
  accounts: { read: administrators, write: administrators },
  people: { read: staff, write: administrators },
  jobs: { read: staff, write: planners },
  projections: { read: staff, write: planners },
  ledger: { read: staff, write: administrators },
} as const satisfies Record<string, { read: readonly Role[]; write: readonly Role[] }>;

export type Resource = keyof typeof access;

export function may(who: Role, does: 'read' | 'write', what: Resource): boolean {
  const roles: readonly Role[] = access[what][does];
  return roles.includes(who);
}
