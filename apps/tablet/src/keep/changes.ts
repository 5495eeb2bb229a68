/** Word that something kept on the device has changed: to the pages of this tab and of every other. */
const others = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('lintel-tablet');
const listeners = new Set<() => void>();

function tell(): void {
  for (const listener of listeners) listener();
}
others?.addEventListener('message', tell);

export function changed(): void {
  tell();
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a channel is of one origin and takes none
  others?.postMessage('changed');
}

export function onChange(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
