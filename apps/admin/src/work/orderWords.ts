import type { WorkOrderRow } from '@lintel/contract';

export const originWords: Record<WorkOrderRow['origin'], string> = {
  due: 'from due work',
  finding: 'from a finding',
  hand: 'made by hand',
};

export const timeKindWords = { work: 'Work', travel: 'Travel', waiting: 'Waiting' } as const;

export const orderLink = (id: string): string => `/work-orders/${id}/show`;

/** As people say it: `No. 128`. */
export const orderNumber = ({ number }: { number: number }): string => `No. ${number}`;
