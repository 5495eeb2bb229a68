import { useSyncExternalStore } from 'react';
import { afterPaint } from './afterPaint.js';

/**
 * Where the pages are, for the router. A page is shown first and written into the browser's history once it stands: that write
 * takes as long as half the page on a slow tablet.
 */
let here = { path: location.pathname, search: location.search };
const listeners = new Set<() => void>();
let unwritten: (() => void)[] = [];

function move(path: string, search: string): void {
  here = { path, search };
  for (const listener of listeners) listener();
}

function write(): void {
  const writes = unwritten;
  unwritten = [];
  for (const one of writes) one();
}

export function goTo(to: string, { replace = false }: { replace?: boolean } = {}): void {
  const address = new URL(to, location.href);
  unwritten.push(() => history[replace ? 'replaceState' : 'pushState'](null, '', address));
  if (unwritten.length === 1) afterPaint(write);
  move(address.pathname, address.search);
}

window.addEventListener('popstate', () => {
  unwritten = [];
  move(location.pathname, location.search);
});
window.addEventListener('pagehide', write);

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
const path = (): string => here.path;
const search = (): string => here.search;

function usePlace(): [string, typeof goTo] {
  return [useSyncExternalStore(subscribe, path), goTo];
}
const useSearchPart = (): string => useSyncExternalStore(subscribe, search);

/** The router's way to ask and to change where the pages are. */
export const placeHook = Object.assign(usePlace, { searchHook: useSearchPart });
