import type { PartKind } from '@lintel/contract';

/** `drive-chain` → `Drive chain`. */
export function partWords(kind: PartKind): string {
  const words = kind.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}
