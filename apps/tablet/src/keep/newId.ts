/**
 * A UUID of version 7 (RFC 9562, section 5.7): 48 bits of Unix time in milliseconds, then 74 random bits. Made on the device,
 * so that a command has its name before any network knows of it.
 */
export function newId(now: number = Date.now(), random: Uint8Array = crypto.getRandomValues(new Uint8Array(10))): string {
  const time = now.toString(16).padStart(12, '0').slice(-12);
  const hex = [...random].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  const variant = ((random[2]! & 0x3f) | 0x80).toString(16);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${hex.slice(1, 4)}-${variant}${hex.slice(6, 8)}-${hex.slice(8, 20)}`;
}
