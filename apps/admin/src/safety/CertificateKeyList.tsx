import { hexGroups, type CompanyKey } from '@lintel/contract';
import { formatInstant } from '@lintel/ui';
import { Box, Button } from '@mui/material';
import { useState } from 'react';
import { useMay } from '../access/hooks.js';
import { ListPage } from '../common/ListPage.js';
import type { Column } from '../common/RecordTable.js';
import { RotateKeyDialog } from './CertificateDialogs.js';

const columns: readonly Column<CompanyKey>[] = [
  { key: 'fingerprint', label: 'Fingerprint (SHA-256)', cell: ({ fingerprint }) => <Box component="span" sx={{ fontFamily: 'ui-monospace, monospace', fontSize: '0.88rem', overflowWrap: 'anywhere' }}>{hexGroups(fingerprint)}</Box> },
  { key: 'use', label: 'Use', cell: ({ retiredAt }) => (retiredAt === null ? <strong>signs now</strong> : 'verifies only') },
  { key: 'made', label: 'Made', sort: 'createdAt', cell: ({ createdAt }) => formatInstant(createdAt) },
  { key: 'retired', label: 'Retired', wide: true, cell: ({ retiredAt }) => (retiredAt === null ? '–' : formatInstant(retiredAt)) },
];

/** The keys that the company signs, or has signed, certificates with: public halves. */
export default function CertificateKeyList() {
  const mayRotate = useMay('write', 'certificate-keys');
  const [rotating, setRotating] = useState(false);
  return (
    <>
      <ListPage<CompanyKey>
        title="Certificate keys"
        up={{ to: '/certificates', word: 'Certificates' }}
        facts={<span>Whoever has the public key can tell your certificates from a forger’s: npx lintel verify certificate.pdf --key company.pem</span>}
        actions={mayRotate ? <Button variant="outlined" onClick={() => setRotating(true)}>Change the key</Button> : null}
        resource="certificate-keys"
        columns={columns}
        sort={{ field: 'createdAt', order: 'DESC' }}
        renderDeeds={({ id, fingerprint }) => (
          <Button size="small" component="a" href={`/api/v1/certificate-keys/${id}/pem`} download aria-label={`Download public key ${fingerprint.slice(0, 4)}`}>
            Download
          </Button>
        )}
        empty={{ title: 'No key yet', text: 'The first certificate makes it.' }}
      />
      {rotating ? <RotateKeyDialog onClose={() => setRotating(false)} /> : null}
    </>
  );
}
