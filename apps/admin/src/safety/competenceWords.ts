import type { CompetenceKindWord } from '@lintel/contract';

export const competenceKindWords: Record<CompetenceKindWord, string> = {
  'safety-inspection': 'Safety inspection',
  'force-measurement': 'Force measurement',
  electrical: 'Electrical work',
  mechanical: 'Mechanical work',
};
