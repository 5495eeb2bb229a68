import type { WholeWorkOrder } from '@lintel/contract';
import { formatInstant, palette } from '@lintel/ui';
import { Box } from '@mui/material';
import { Panel } from '../common/Page.js';
import { Thumbnails, imageAddress } from './Thumbnails.js';

/** The photographs of the order, and who signed for it. */
export function ImagesPanel({ order }: { order: WholeWorkOrder }) {
  const photographs = order.images.filter(({ kind }) => kind === 'photo');
  return (
    <Panel title="Photographs and signature">
      {photographs.length === 0 ? <Box sx={{ color: palette.slate }}>No photograph was taken.</Box> : <Thumbnails images={photographs} timeZone={order.timeZone} />}
      {order.signatures.length === 0 ? (
        <Box sx={{ color: palette.slate, marginTop: 0.6 }}>Nobody has signed.</Box>
      ) : (
        order.signatures.map((signature) => (
          <Box component="figure" key={signature.id} sx={{ margin: '12px 0 0', maxWidth: 380 }}>
            <img src={imageAddress(signature.imageId)} alt={`Signature of ${signature.signerName}`} style={{ maxWidth: '100%', maxHeight: 140, border: `1px solid ${palette.line}`, background: palette.paper }} />
            <figcaption>
              Signed by <strong>{signature.signerName}</strong>, {formatInstant(signature.deviceAt ?? signature.at, order.timeZone)}
            </figcaption>
          </Box>
        ))
      )}
    </Panel>
  );
}
