import { createHash } from 'node:crypto';
import { mostImageBytes, type ImageUpload } from '@lintel/contract';
import type { CompanyContext, Store } from '../context.js';
import { writeLedger } from '../ledger/writeLedger.js';
import { imageHead } from './imageHead.js';
import type { Refused } from './technicianCommand.js';

/**
 * Keeps an image. Its kind and size are read from its own bytes, whatever it was called. Sent again under the same id with the
 * same bytes it changes nothing.
 */
export async function storeImage(
  store: Store, context: CompanyContext & { accountId: string }, given: ImageUpload, bytes: Buffer,
): Promise<{ id: string } | Refused> {
  if (bytes.length > mostImageBytes) return { refused: 'image-too-large', facts: { bytes: bytes.length, most: mostImageBytes } };
  const head = imageHead(bytes);
  if (head === null) return { refused: 'not-an-image', facts: {} };
  const sha256 = createHash('sha256').update(bytes).digest();
  return store.withCompanySql(context, async (client) => {
    const { companyId, accountId } = context;
    const at = given.orderId === undefined
      ? await client.query<{ door_id: string }>('SELECT id AS door_id FROM door WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, given.doorId ?? null])
      : await client.query<{ door_id: string }>('SELECT door_id FROM work_order WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, given.orderId]);
    const doorId = at.rows[0]?.door_id;
    if (doorId === undefined) return { refused: given.orderId === undefined ? 'no-such-door' : 'no-such-order', facts: {} };
    const { rowCount } = await client.query(
      `INSERT INTO work_image (company_id, id, door_id, work_order_id, step, kind, media_type, width, height, byte_count, sha256, image, taken_at, account_id)
       VALUES ($1::uuid, $2::uuid, $3::uuid, $4::uuid, $5, $6::"ImageKind", $7, $8, $9, $10, $11, $12, $13, $14::uuid) ON CONFLICT DO NOTHING`,
      [companyId, given.id, doorId, given.orderId ?? null, given.stepId ?? null, given.kind, head.mediaType, head.width, head.height,
        bytes.length, sha256, bytes, given.takenAt, accountId],
    );
    if (rowCount === 0) {
      const { rows: [known] } = await client.query<{ sha256: Buffer }>('SELECT sha256 FROM work_image WHERE company_id = $1::uuid AND id = $2::uuid', [companyId, given.id]);
      return known?.sha256.equals(sha256) ? { id: given.id } : { refused: 'id-taken', facts: {} };
    }
    await writeLedger(client, context, {
      action: 'work-image-added', subjectKind: given.orderId === undefined ? 'door' : 'work-order', subjectId: given.orderId ?? doorId,
      detail: { imageId: given.id, kind: given.kind, bytes: bytes.length, sha256: sha256.toString('hex') },
    });
    return { id: given.id };
  });
}

/** The bytes of an image, or null. */
export function readImage(store: Store, context: CompanyContext, id: string): Promise<{ mediaType: string; sha256: string; image: Buffer } | null> {
  return store.withCompanySql(context, async (client) => {
    const { rows } = await client.query<{ mediaType: string; sha256: string; image: Buffer }>(
      `SELECT media_type AS "mediaType", encode(sha256, 'hex') AS sha256, image FROM work_image WHERE company_id = $1::uuid AND id = $2::uuid`,
      [context.companyId, id],
    );
    return rows[0] ?? null;
  });
}
