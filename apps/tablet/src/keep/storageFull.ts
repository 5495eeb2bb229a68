/** The device has no room left. What was kept before is untouched: the transaction that did not fit was undone as a whole. */
export class StorageFull extends Error {
  constructor() {
    super(
      'This device is full: what you just entered could not be kept. Nothing that was kept before is lost. ' +
        'Connect and let it send, or free some space on the device, then do it again.',
    );
    this.name = 'StorageFull';
  }
}

/** Runs a write; the browser's word for a full device, which comes under several names and wrapped, becomes ours. */
export async function keeping<T>(write: () => Promise<T>): Promise<T> {
  try {
    return await write();
  } catch (error) {
    if (isQuota(error)) throw new StorageFull();
    throw error;
  }
}

function isQuota(error: unknown): boolean {
  const { name, inner, cause } = (error ?? {}) as { name?: string; inner?: unknown; cause?: unknown };
  return name === 'QuotaExceededError' || name === 'NS_ERROR_DOM_QUOTA_REACHED' || [inner, cause].some((one) => one != null && isQuota(one));
}
