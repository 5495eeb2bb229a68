import type { ImportMapping, ImportUpload } from '@lintel/contract';
import { enqueue, ImportFileError, mappingFault, storeUpload, UploadTooLarge, writeLedger, type Store } from '@lintel/store';
import { Inject, Injectable } from '@nestjs/common';
import { isAsyncIterable } from '../platform/bodies.js';
import type { Caller } from '../platform/access.js';
import { STORE } from '../platform/options.js';
import type { Row } from '../platform/resource/definition.js';
import { Reader } from '../platform/resource/reader.js';
import { Writer } from '../platform/resource/writer.js';
import { invalidField, Refusal } from '../platform/refusal.js';
import { imports } from './imports.js';

@Injectable()
export class ImportsService {
  constructor(
    @Inject(STORE) private readonly store: Store,
    @Inject(Reader) private readonly reader: Reader,
    @Inject(Writer) private readonly writer: Writer,
  ) {}

  one(caller: Caller, id: string): Promise<Row> {
    return this.reader.one(imports, caller, id);
  }

  async upload(caller: Caller, { kind, fileName }: ImportUpload, body: unknown): Promise<Row> {
    if (!isAsyncIterable(body)) throw new Refusal('not-this-media-type', 'The file is sent as text/csv.');
    try {
      const id = await storeUpload(this.store, caller.context, { kind, fileName, body });
      return await this.one(caller, id);
    } catch (error) {
      if (error instanceof ImportFileError) throw invalidField('file', error.message);
      if (error instanceof UploadTooLarge) throw new Refusal('too-large', error.message);
      throw error;
    }
  }

  async start(caller: Caller, id: string, mapping: ImportMapping): Promise<Row> {
    const row = await this.one(caller, id);
    const fault = mappingFault(row['kind'] as ImportUpload['kind'], row['header'] as string[], mapping);
    if (fault !== null) throw invalidField('mapping', fault);
    const { context } = caller;
    await this.writer.inCompany(context, async (db) => {
      const { count } = await db.import.updateMany({
        where: { id, state: 'uploaded' },
        data: { state: 'waiting', mapping, version: { increment: 1 } },
      });
      if (count === 0) throw new Refusal('conflict', `This import is ${row['state'] as string}: only an uploaded one can be started.`);
      await writeLedger(db, context, { action: 'import-started', subjectKind: 'import', subjectId: id, detail: { mapping } });
      await enqueue(db, context, 'import-file', { importId: id });
    });
    return this.one(caller, id);
  }

  async cancel(caller: Caller, id: string): Promise<Row> {
    await this.one(caller, id);
    const { context } = caller;
    await this.writer.inCompany(context, async (db) => {
      const version = { increment: 1 };
      // Not started: nobody else will end it. Running: its worker ends it after the batch at hand.
      const unstarted = await db.import.updateMany({
        where: { id, state: { in: ['uploaded', 'waiting'] } },
        data: { state: 'cancelled', cancelRequested: true, endedAt: new Date(), version },
      });
      if (unstarted.count > 0) await db.importChunk.deleteMany({ where: { importId: id } });
      const running = await db.import.updateMany({ where: { id, state: 'running' }, data: { cancelRequested: true, version } });
      if (unstarted.count + running.count === 0) throw new Refusal('conflict', 'This import has ended already.');
      await writeLedger(db, context, { action: 'import-cancelled', subjectKind: 'import', subjectId: id });
    });
    return this.one(caller, id);
  }
}
