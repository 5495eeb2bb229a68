import { useCallback } from 'react';
import type { Database } from '../keep/database.js';
import { useKept } from '../keep/device.js';
import { Layout } from '../shell/Layout.js';

/** A manual's text. The maker's own comes first, and says so by its source. */
export function ManualPage({ id }: { id: string }) {
  const load = useCallback((database: Database) => database.get('manuals', id), [id]);
  const { kept, ready } = useKept(load);
  if (!ready) return null;
  if (!kept) return <Layout title="Manual" back="/"><p>This manual is not on this device.</p></Layout>;
  return (
    <Layout over={kept.doorTypeName} title={kept.title} back="/">
      <article className="card manual">
        {kept.body.split(/\n{2,}/).map((paragraph, index) => <p key={index}>{paragraph}</p>)}
        <p className="quiet">{kept.source}</p>
      </article>
    </Layout>
  );
}
