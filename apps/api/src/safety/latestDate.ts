/** The date where the day begins first on earth (UTC+14): no date of something done can lie after it. */
export const latestDate = (): string => new Date(Date.now() + 14 * 3_600_000).toISOString().slice(0, 10);
