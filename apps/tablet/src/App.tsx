import { useCallback, useEffect, useMemo, useState } from 'react';
import { Route, Router, Switch } from 'wouter';
import { type Account, rememberAccount, rememberedAccount } from './access/account.js';
import { wire } from './access/wire.js';
import { FindPage } from './fleet/FindPage.js';
import { DoorPage } from './fleet/DoorPage.js';
import { ManualPage } from './fleet/ManualPage.js';
import { openDatabase } from './keep/database.js';
import { type Device, DeviceContext } from './keep/device.js';
import { Sender } from './keep/sender.js';
import { DevicePage } from './shell/DevicePage.js';
import { Catch } from './shell/faces.js';
import { Layout } from './shell/Layout.js';
import { placeHook } from './shell/place.js';
import { SignInPage } from './shell/SignInPage.js';
import { ConflictPage } from './work/ConflictPage.js';
import { FindingPage } from './work/FindingPage.js';
import { NeedsPage } from './work/NeedsPage.js';
import { OrderPage } from './work/OrderPage.js';
import { PartsPage } from './work/PartsPage.js';
import { ReviewPage } from './work/ReviewPage.js';
import { StepPage } from './work/StepPage.js';
import { TimePage } from './work/TimePage.js';
import { VisitsPage } from './work/VisitsPage.js';

export function App() {
  // `undefined`: not read yet.
  const [account, setAccount] = useState<Account | null | undefined>(undefined);
  const [fault, setFault] = useState<Error | null>(null);
  useEffect(() => {
    rememberedAccount().then(setAccount, setFault);
  }, []);
  const signedIn = useCallback((given: Account | null): void => {
    rememberAccount(given).then(() => setAccount(given), setFault);
  }, []);
  return <Catch>{fault ? <Failed fault={fault} /> : account === undefined ? null : account === null ? <SignInPage onSignedIn={signedIn} /> : <SignedIn key={account.id} account={account} onAccount={signedIn} />}</Catch>;
}

function Failed({ fault }: { fault: Error }): never {
  throw fault;
}

/** The pages of one person, once the database on the device is open. */
function SignedIn({ account, onAccount }: { account: Account; onAccount: (account: Account | null) => void }) {
  const [device, setDevice] = useState<Device | null>(null);
  const [fault, setFault] = useState<Error | null>(null);
  useEffect(() => {
    let sender: Sender | null = null;
    let over = false;
    openDatabase(account.id).then((database) => {
      if (over) return database.close();
      sender = new Sender(database, wire, account);
      sender.start();
      setDevice({ account, database, sender });
    }).catch(setFault);
    // So that the browser does not clear away what has not been sent when it runs short of room.
    void navigator.storage?.persist?.().catch(() => false);
    return () => {
      over = true;
      sender?.stop();
    };
  }, [account]);
  const pages = useMemo(() => <Pages onAccount={onAccount} />, [onAccount]);
  if (fault) throw fault;
  return device && <DeviceContext value={device}>{pages}</DeviceContext>;
}

function Pages({ onAccount }: { onAccount: (account: Account | null) => void }) {
  return (
    <Router base="/tablet" hook={placeHook}>
      <Switch>
        {/* First, since it is gone to most often and routes are tried in turn. */}
        <Route path="/order/:id/step/:at">{({ id, at }) => <StepPage id={id} at={Number(at)} />}</Route>
        <Route path="/" component={VisitsPage} />
        <Route path="/find" component={FindPage} />
        <Route path="/needs" component={NeedsPage} />
        <Route path="/device">{() => <DevicePage onAccount={onAccount} />}</Route>
        <Route path="/door/:id">{({ id }) => <DoorPage id={id} />}</Route>
        <Route path="/manual/:id">{({ id }) => <ManualPage id={id} />}</Route>
        <Route path="/order/:id">{({ id }) => <OrderPage id={id} />}</Route>
        <Route path="/order/:id/conflict/:answerId">{({ id, answerId }) => <ConflictPage id={id} answerId={answerId} />}</Route>
        <Route path="/order/:id/finding">{({ id }) => <FindingPage id={id} />}</Route>
        <Route path="/order/:id/time">{({ id }) => <TimePage id={id} />}</Route>
        <Route path="/order/:id/parts">{({ id }) => <PartsPage id={id} />}</Route>
        <Route path="/order/:id/review">{({ id }) => <ReviewPage id={id} />}</Route>
        <Route>{() => <Layout title="Nothing here" back="/"><p>There is no such page on this device.</p></Layout>}</Route>
      </Switch>
    </Router>
  );
}
