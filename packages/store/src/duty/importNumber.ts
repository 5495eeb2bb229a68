const PLAIN = /^[+]?\d+(?:[.,]0{1,2})?$/;
/** Groups of three set apart by blanks or apostrophes can mean nothing else. */
const SPACED = /^\d{1,3}(?:[ \u00a0\u2009\u202f'’]\d{3})+$/;
/** With commas or full stops only two groups or more are unambiguous: `1,234` may be a decimal. */
const GROUPED = /^\d{1,3}(?:(?:,\d{3}){2,}|(?:\.\d{3}){2,})$/;
const ONE_GROUP = /^\d{1,3}[.,]\d{3}$/;

/**
 * A whole number of at least 0 from a file's cell, or the reason why it is none. Thousands separators are understood where
 * they cannot be taken for a decimal mark; `.0` and `,00` behind a whole number are let pass.
 */
export function parseWholeNumber(text: string): number | { reason: string } {
  let digits: string;
  if (PLAIN.test(text)) digits = text.replace(/[.,]0+$/, '');
  else if (SPACED.test(text) || GROUPED.test(text)) digits = text.replace(/\D/g, '');
  else if (ONE_GROUP.test(text)) return { reason: `${text} can be read with or without thousands: write it without a separator` };
  else if (/^-\s*\d/.test(text)) return { reason: `${text} is below 0` };
  else if (/^\d+[.,]\d+$/.test(text)) return { reason: `${text} is not a whole number` };
  else return { reason: `${quoted(text)} is not a number` };
  const value = Number(digits);
  return Number.isSafeInteger(value) ? value : { reason: `${text} is too large` };
}

/** A cell as it stands in a message: quoted, and cut where it is long. */
export function quoted(text: string): string {
  return JSON.stringify(text.length > 60 ? `${text.slice(0, 57)}...` : text);
}
