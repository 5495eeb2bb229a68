import type { Resource, Role } from '@lintel/contract';

export interface MenuEntry {
  to: string;
  word: string;
  /** Who may read this may see the entry. */
  needs: Resource;
  /** Facility owners come for the first few alone. */
  owners?: boolean;
}

/** Ordered by how often people come for it: what is due, where, what moves it, what stands behind it. */
export const menu: readonly { title: string; entries: readonly MenuEntry[] }[] = [
  {
    title: '',
    entries: [
      { to: '/', word: 'Outlook', needs: 'outlook', owners: true },
      { to: '/sites', word: 'Sites', needs: 'sites', owners: true },
      { to: '/doors', word: 'Doors', needs: 'doors', owners: true },
      { to: '/due-items', word: 'Due work', needs: 'due-items' },
      { to: '/route-plans', word: 'Route plans', needs: 'route-plans' },
      { to: '/visits', word: 'Visits', needs: 'visits', owners: true },
      { to: '/work-orders', word: 'Work orders', needs: 'work-orders', owners: true },
      { to: '/faults', word: 'Faults', needs: 'faults', owners: true },
    ],
  },
  {
    title: 'Safety',
    entries: [
      { to: '/compliance', word: 'Compliance', needs: 'compliance', owners: true },
      { to: '/findings', word: 'Findings', needs: 'findings', owners: true },
      { to: '/certificates', word: 'Certificates', needs: 'certificates', owners: true },
      { to: '/instruments', word: 'Instruments', needs: 'instruments' },
      { to: '/competences', word: 'Competent persons', needs: 'competences' },
      { to: '/force-limits', word: 'Limits and checks', needs: 'force-limits' },
    ],
  },
  {
    title: 'Duty',
    entries: [
      { to: '/readings', word: 'Readings', needs: 'readings' },
      { to: '/imports', word: 'Imports', needs: 'imports' },
    ],
  },
  {
    title: 'Wear',
    entries: [{ to: '/wear-models', word: 'Wear models', needs: 'wear-models' }],
  },
  {
    title: 'Standing rules',
    entries: [
      { to: '/plans', word: 'Maintenance plans', needs: 'plans' },
      { to: '/door-types', word: 'Door types', needs: 'door-types' },
      { to: '/manuals', word: 'Manuals', needs: 'manuals' },
      { to: '/fault-codes', word: 'Fault catalogue', needs: 'fault-codes' },
      { to: '/owners', word: 'Owners', needs: 'owners' },
    ],
  },
  {
    title: 'House',
    entries: [
      { to: '/technicians', word: 'Technicians', needs: 'technicians' },
      { to: '/stock-parts', word: 'Stock', needs: 'stock-parts' },
      { to: '/travel-times', word: 'Travel times', needs: 'travel-times' },
      { to: '/accounts', word: 'People', needs: 'accounts' },
      { to: '/jobs', word: 'Jobs', needs: 'jobs' },
      { to: '/ledger', word: 'Ledger', needs: 'ledger' },
    ],
  },
];

export function entryShown(entry: MenuEntry, role: Role, may: (who: Role, does: 'read', what: Resource) => boolean): boolean {
  return role === 'owner' ? entry.owners === true : may(role, 'read', entry.needs);
}
