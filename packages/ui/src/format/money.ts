/** Digits after the point of a currency (ISO 4217): its minor units are that fine. */
export function currencyDigits(currency: string): number {
  return /^[A-Z]{3}$/.test(currency)
    ? (new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2)
    : 2;
}

/** Minor units as money, its currency said by its code; from a hundred on without cents. */
export function formatMoney(minorUnits: number, currency: string): string {
  const digits = currencyDigits(currency);
  const value = minorUnits / 10 ** digits;
  const shown = Math.abs(value) >= 100 ? 0 : digits;
  return `${currency} ${value.toLocaleString('en', { minimumFractionDigits: shown, maximumFractionDigits: shown })}`;
}
