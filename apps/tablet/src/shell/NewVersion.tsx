import { memo, useSyncExternalStore } from 'react';

let ready: ServiceWorker | null = null;
const listeners = new Set<() => void>();

function tell(worker: ServiceWorker | null): void {
  ready = worker;
  for (const listener of listeners) listener();
}

/** Keeps the pages on the device. A newer version is only offered: nobody's job is taken away from under them. */
export async function keepShell(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  const registration = await navigator.serviceWorker.register('/tablet/sw.js', { scope: '/tablet/' });
  const look = (): void => {
    if (registration.waiting && navigator.serviceWorker.controller) tell(registration.waiting);
  };
  look();
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', look));
  setInterval(() => void registration.update().catch(() => undefined), 3_600_000);
}

function takeOver(): void {
  navigator.serviceWorker.addEventListener('controllerchange', () => window.location.reload(), { once: true });
  ready?.postMessage('take-over', []);
}

export const NewVersion = memo(function NewVersion() {
  const worker = useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, () => ready);
  if (!worker) return null;
  return (
    <div className="note" role="status">
      <span>A newer version of these pages is on the device. What you entered stays.</span>
      <button type="button" className="button" onClick={takeOver}>Load it</button>
    </div>
  );
});
