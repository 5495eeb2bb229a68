import type { FilterWord } from './Filters.js';

/** Switch between what is in use and what has been archived. */
export const archiveFilter: FilterWord = {
  kind: 'choice',
  field: 'archived',
  label: 'Archive',
  all: 'In use and archived',
  choices: [
    { id: 'false', name: 'In use' },
    { id: 'true', name: 'Archived' },
  ],
};

export const inUse = { archived: 'false' } as const;
