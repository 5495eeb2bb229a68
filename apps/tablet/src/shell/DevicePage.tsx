import { count, formatInstant } from '@lintel/ui';
import { useCallback, useEffect, useState } from 'react';
import { type Account } from '../access/account.js';
import { signOut } from '../access/wire.js';
import { type Database, forgetIfSent, readMeta } from '../keep/database.js';
import { useDevice, useKept, useSync } from '../keep/device.js';
import { Layout } from './Layout.js';
import { SignInPage } from './SignInPage.js';
import { countWaiting, syncWords } from './SyncMark.js';
import { chooseTheme, chooseUnits, chosenUnits, currentTheme, type Theme, type Units } from './theme.js';

/** A clock that is further off than this is worth saying, ms. */
const skewWorthSaying = 120_000;

async function readAbout(database: Database) {
  return {
    waiting: await countWaiting(database),
    orders: await database.count('orders'),
    doors: await database.count('doors'),
    manuals: await database.count('manuals'),
    images: (await database.getAll('images')).filter(({ sent }) => !sent).length,
    offsetMs: (await readMeta(database, 'offsetMs')) ?? 0,
  };
}

/** How the device stands: what waits, what is on it, how much room is left, how it looks, and who works with it. */
export function DevicePage({ onAccount }: { onAccount: (account: Account | null) => void }) {
  const { account, sender } = useDevice();
  const sync = useSync();
  const { kept } = useKept(readAbout);
  const room = useRoom();
  if (sync.state === 'sign-in') {
    return (
      <Layout title="Sign in again">
        <p className="note">{sync.detail} {kept && kept.waiting > 0 ? `${count(kept.waiting, 'command')} waiting.` : ''}</p>
        <SignInPage known={account} onSignedIn={(given) => (given.id === account.id ? sender.soon() : onAccount(given))} />
      </Layout>
    );
  }
  return (
    <Layout title="This device">
      <section className="card">
        <h2>Sent and received</h2>
        <dl>
          <dt>State</dt><dd>{syncWords[sync.state]}{sync.detail ? `: ${sync.detail}` : ''}</dd>
          <dt>Waiting to be sent</dt><dd>{kept ? `${count(kept.waiting, 'command')}, ${count(kept.images, 'image')}` : '…'}</dd>
          <dt>Last in step</dt><dd>{sync.lastSyncAt === null ? 'never yet' : formatInstant(sync.lastSyncAt)}</dd>
          <dt>On the device</dt><dd>{kept ? `${count(kept.orders, 'order')}, ${count(kept.doors, 'door')}, ${count(kept.manuals, 'manual')}` : '…'}</dd>
          {kept && Math.abs(kept.offsetMs) > skewWorthSaying ? (
            <><dt>Clock</dt><dd>This device’s clock is {count(Math.round(Math.abs(kept.offsetMs) / 60_000), 'minute')} {kept.offsetMs > 0 ? 'behind' : 'ahead of'} the server’s. Set it right; times are recorded by both.</dd></>
          ) : null}
          <dt>Room</dt><dd>{room}</dd>
        </dl>
        <button type="button" className="button first" onClick={sender.soon}>Send and receive now</button>
      </section>
      <Looks />
      <Person account={account} waiting={kept?.waiting ?? 0} onAccount={onAccount} />
    </Layout>
  );
}

function useRoom(): string {
  const [room, setRoom] = useState('…');
  useEffect(() => {
    void (async () => {
      const storage = navigator.storage as StorageManager | undefined;
      const { usage = 0, quota = 0 } = (await storage?.estimate?.().catch(() => null)) ?? {};
      const safe = await storage?.persisted?.().catch(() => false);
      const mb = (bytes: number): string => `${Math.round(bytes / 1_048_576).toLocaleString('en')} MB`;
      setRoom(`${mb(usage)} used, about ${mb(Math.max(0, quota - usage))} free; ${safe ? 'kept until you sign out' : 'the browser has not promised to keep it: send soon'}`);
    })();
  }, []);
  return room;
}

function Looks() {
  const [theme, setTheme] = useState<Theme>(currentTheme);
  const [units, setUnits] = useState<Units | null>(chosenUnits);
  return (
    <section className="card">
      <h2>How it looks</h2>
      <Choice legend="Light" value={theme} options={{ day: 'Day', night: 'Freezer dark' }} onChoose={(chosen) => { chooseTheme(chosen); setTheme(chosen); }} />
      <Choice legend="Units" value={units ?? 'site'} options={{ site: 'As the site’s', metric: 'Metric', us: 'US' }}
        onChoose={(chosen) => { const next = chosen === 'site' ? null : chosen; chooseUnits(next); setUnits(next); }} />
    </section>
  );
}

/** One of a few, as large buttons. */
export function Choice<Word extends string>({ legend, value, options, onChoose }: {
  legend: string; value: Word | null; options: Record<Word, string>; onChoose: (word: Word) => void;
}) {
  return (
    <fieldset className="choice">
      <legend>{legend}</legend>
      {(Object.entries(options) as [Word, string][]).map(([word, text]) => (
        <button key={word} type="button" className="button" aria-pressed={word === value} onClick={() => onChoose(word)}>{text}</button>
      ))}
    </fieldset>
  );
}

function Person({ account, waiting, onAccount }: { account: Account; waiting: number; onAccount: (account: Account | null) => void }) {
  const { database, sender } = useDevice();
  const leave = useCallback(async () => {
    sender.stop();
    await forgetIfSent(database, account.id).catch(() => false);
    await signOut().catch(() => undefined);
    onAccount(null);
  }, [account, database, sender, onAccount]);
  return (
    <section className="card">
      <h2>{account.name}</h2>
      <p>{account.email}, {account.companyName}</p>
      {waiting > 0 ? <p className="note">{count(waiting, 'command')} not sent yet. They stay on this device and go out when you sign in here again.</p> : null}
      <button type="button" className="button" onClick={() => void leave()}>Sign out</button>
    </section>
  );
}
