import { certificateStateWords, type Certificate, type CertificateState } from '@lintel/contract';
import { Button } from '@mui/material';
import { Link } from 'react-router';
import type { FilterWord } from '../common/Filters.js';
import { ListPage } from '../common/ListPage.js';
import { SiteBundle, Uncertified } from './CertificateBands.js';
import { certificateColumns, certificateKindChoices, certificateLink } from './certificateColumns.js';

const states: readonly CertificateState[] = ['valid', 'superseded', 'withdrawn'];

const filters: readonly FilterWord[] = [
  { kind: 'text', field: 'q', label: 'Number, door, site or person' },
  { kind: 'choice', field: 'state', label: 'State', choices: states.map((id) => ({ id, name: certificateStateWords[id].word })) },
  { kind: 'choice', field: 'passed', label: 'Result', choices: [{ id: 'true', name: 'Passed' }, { id: 'false', name: 'Not passed' }] },
  { kind: 'choice', field: 'kind', label: 'Kind', choices: certificateKindChoices },
  { kind: 'record', field: 'ownerId', label: 'Owner', resource: 'owners' },
  { kind: 'record', field: 'siteId', label: 'Site', resource: 'sites', narrowedBy: 'ownerId' },
  { kind: 'record', field: 'doorId', label: 'Door', resource: 'doors', narrowedBy: 'siteId' },
  { kind: 'date', field: 'inspectedOnFrom', label: 'Inspected from' },
  { kind: 'date', field: 'inspectedOnTo', label: 'Inspected to' },
];

/** The sealed results of inspections. */
export default function CertificateList() {
  return (
    <ListPage<Certificate>
      title="Certificates"
      facts={<span>Sealed results of inspections. Anybody who holds one can verify it, without signing in and without a network.</span>}
      actions={
        <Button component={Link} to="/certificate-keys" variant="outlined">
          Keys
        </Button>
      }
      above={<><Uncertified /><SiteBundle /></>}
      resource="certificates"
      columns={certificateColumns}
      filters={filters}
      sort={{ field: 'issuedAt', order: 'DESC' }}
      href={certificateLink}
      urgent={({ passed, state }) => !passed && state === 'valid'}
      empty={{ title: 'No certificate yet', text: 'Completing an inspection or a commissioning issues one.' }}
    />
  );
}
