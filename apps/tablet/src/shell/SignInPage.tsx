import { type FormEvent, useState } from 'react';
import type { Account } from '../access/account.js';
import { signIn } from '../access/wire.js';
import { WireError } from '../keep/sync.js';

/** The one moment that needs a network. `known`: whose unsent work waits for this sign-in. */
export function SignInPage({ onSignedIn, known = null }: { onSignedIn: (account: Account) => void; known?: Account | null }) {
  const [email, setEmail] = useState(known?.email ?? '');
  const [password, setPassword] = useState('');
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);

  async function submit(event: FormEvent): Promise<void> {
    event.preventDefault();
    setBusy(true);
    setSaid(null);
    try {
      const account = await signIn(email, password);
      if (account.role === 'owner') throw new WireError(403, 'This is the technicians’ side; owners have their own pages.');
      onSignedIn(account);
    } catch (error) {
      setSaid(error instanceof WireError && error.status === 0
        ? 'The server cannot be reached. Signing in needs a network once; after that everything works without.'
        : (error as Error).message);
    } finally {
      setBusy(false);
    }
  }

  return (
    <main className="sign-in">
      <form onSubmit={(event) => void submit(event)}>
        <img src="/tablet/lintel.svg" alt="" width={56} height={56} />
        <h1>Lintel at the door</h1>
        <p>Sign in once with a network. Your visits are then on this device, with or without a signal.</p>
        <label>E-mail<input type="email" autoComplete="username" required value={email} onChange={(event) => setEmail(event.target.value)} /></label>
        <label>Password<input type="password" autoComplete="current-password" required value={password} onChange={(event) => setPassword(event.target.value)} /></label>
        {said === null ? null : <p role="alert" className="refusal">{said}</p>}
        <button type="submit" className="button first" disabled={busy}>{busy ? 'Signing in…' : 'Sign in'}</button>
      </form>
    </main>
  );
}
