import type { Certificate, Door } from '@lintel/contract';
import { Button } from '@mui/material';
import { Link } from 'react-router';
import { listLink } from '../common/links.js';
import { Panel } from '../common/Page.js';
import { RecordList } from '../common/RecordList.js';
import { certificateLink, certificatesOfDoor } from './certificateColumns.js';

/** The certificates of one door, newest first. */
export function DoorCertificatesPanel({ door }: { door: Door }) {
  return (
    <Panel
      title="Certificates"
      flush
      actions={
        <Button size="small" variant="outlined" component={Link} to={listLink('certificates', { doorId: door.id })}>
          Its certificates
        </Button>
      }
    >
      <RecordList<Certificate>
        resource="certificates"
        label="Certificates of this door"
        columns={certificatesOfDoor}
        fixed={{ doorId: door.id }}
        sort={{ field: 'issuedAt', order: 'DESC' }}
        perPage={5}
        href={certificateLink}
        inside
        empty={{ title: 'No certificate yet', text: 'Completing an inspection of this door issues one.' }}
      />
    </Panel>
  );
}
