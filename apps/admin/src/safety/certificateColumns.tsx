import { certificateTitle, type Certificate } from '@lintel/contract';
import { CertificateMark, OutcomeMark, formatDate } from '@lintel/ui';
import { Box } from '@mui/material';
import type { Column } from '../common/RecordTable.js';

const shortKind: Record<Certificate['kind'], string> = { inspection: 'Safety inspection', commissioning: 'Commissioning' };
export const certificateKindChoices = (Object.keys(certificateTitle) as Certificate['kind'][]).map((id) => ({ id, name: shortKind[id] }));

const door: Column<Certificate> = { key: 'door', label: 'Door', sort: 'doorName', cell: ({ doorName }) => doorName };

/** Of one door: its certificates, the day first. */
export const certificatesOfDoor: readonly Column<Certificate>[] = [
  { key: 'on', label: 'Inspected', sort: 'inspectedOn', cell: ({ inspectedOn }) => <Box component="span" sx={{ whiteSpace: 'nowrap' }}>{formatDate(inspectedOn)}</Box> },
  { key: 'kind', label: 'Kind', cell: ({ kind }) => shortKind[kind] },
  { key: 'result', label: 'Result', cell: ({ passed }) => <OutcomeMark outcome={passed ? 'passed' : 'failed'} word={passed ? 'passed' : 'not passed'} /> },
  { key: 'state', label: 'State', cell: ({ state }) => <CertificateMark state={state} /> },
  { key: 'next', label: 'Next due', sort: 'nextDueOn', cell: ({ nextDueOn }) => (nextDueOn === null ? '–' : formatDate(nextDueOn)) },
  { key: 'person', label: 'By', wide: true, cell: ({ personName }) => personName },
];

export const certificateColumns: readonly Column<Certificate>[] = [
  ...certificatesOfDoor.slice(0, 1),
  door,
  { key: 'site', label: 'Site', sort: 'siteName', cell: ({ siteName }) => siteName },
  ...certificatesOfDoor.slice(1),
  { key: 'number', label: 'Number', wide: true, cell: ({ number }) => <Box component="span" sx={{ whiteSpace: 'nowrap', fontSize: '0.88rem' }}>{number}</Box> },
];

export const certificateLink = ({ id }: Pick<Certificate, 'id'>): string => `/certificates/${id}/show`;
