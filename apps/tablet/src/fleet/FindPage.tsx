import { useCallback, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { Database } from '../keep/database.js';
import { useDevice, useKept } from '../keep/device.js';
import { doorOfLabel, findByCode } from '../keep/read.js';
import { Empty } from '../shell/faces.js';
import { Layout } from '../shell/Layout.js';
import { partWords } from './partWords.js';
import { Scanner } from './Scanner.js';

/** A door by its label, a part by its code: scanned, or typed. */
export function FindPage() {
  const { database } = useDevice();
  const [code, setCode] = useState('');
  const [scanning, setScanning] = useState(false);
  const [, go] = useLocation();
  const load = useCallback((kept: Database) => findByCode(kept, code), [code]);
  const { kept } = useKept(load);
  const found = useCallback((scanned: string) => {
    setScanning(false);
    const doorId = doorOfLabel(scanned);
    if (doorId !== null) return go(`/door/${doorId}`);
    setCode(scanned);
    void findByCode(database, scanned).then(({ doors, parts, stock }) => {
      if (doors.length === 1 && parts.length + stock.length === 0) go(`/door/${doors[0]!.id}`);
    });
  }, [database, go]);
  const close = useCallback(() => setScanning(false), []);
  return (
    <Layout title="Find a door or part">
      {scanning ? <Scanner onCode={found} onClose={close} /> : <button type="button" className="button first huge" onClick={() => setScanning(true)}>Scan a label</button>}
      <label>Or type: door, site, serial, code<input type="search" autoComplete="off" value={code} onChange={(event) => setCode(event.target.value)} /></label>
      {code.trim() !== '' && kept && kept.doors.length + kept.parts.length + kept.stock.length === 0 ? <Empty>Nothing on this device has that name or code. The doors of your visits are here.</Empty> : null}
      <ul className="rows">
        {kept?.doors.map(({ id, name, siteName, serial }) => <li key={id}><Link href={`/door/${id}`} className="row"><span className="row-main"><strong>{name}</strong><span>{siteName}</span></span><span className="quiet">{serial ?? ''}</span></Link></li>)}
        {kept?.parts.map(({ id, name, serial, doorId, doorName }) => <li key={id}><Link href={`/door/${doorId}`} className="row"><span className="row-main"><strong>{name}</strong><span>{doorName}</span></span><span className="quiet">{serial}</span></Link></li>)}
        {kept?.stock.map(({ id, code: own, kind, name }) => <li key={id} className="row"><span className="row-main"><strong>{name}</strong><span>{partWords(kind)}, a part that is kept in stock</span></span><span className="quiet">{own}</span></li>)}
      </ul>
    </Layout>
  );
}
