const words: Record<string, string> = {
  ownerId: 'Owner',
  siteId: 'Site',
  doorTypeId: 'Door type',
  fromZoneId: 'Zone on one side',
  toZoneId: 'Zone on the other side',
  widthMm: 'Clear width, mm',
  heightMm: 'Clear height, mm',
  b10Cycles: 'Life rating B10, cycles',
  b10Months: 'Life rating B10, months',
  b10dCycles: 'B10D, operations',
  bearingRatingKn: 'Dynamic rating C, kN',
  bearingLoadKn: 'Equivalent load P, kN',
  turnsPerCycle: 'Turns in one door cycle',
  chainPitchMm: 'Nominal pitch, mm',
  chainLimitPercent: 'Wear limit, %',
  plannedCost: 'Cost of a planned replacement, minor units',
  failureCost: 'Cost of a failure, minor units',
  minCycleSeconds: 'Shortest cycle, seconds',
  regimeMonths: 'Months between safety inspections',
  regimeSource: 'Source of that interval',
  supplyVolts: 'Supply, volts',
  setPointCelsius: 'Set point, °C',
};

/** A field's name as people read it: `installedOn` → `Installed on`. */
export function fieldWord(field: string): string {
  const known = words[field];
  if (known) return known;
  const spaced = field.replace(/([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`);
  return spaced.charAt(0).toUpperCase() + spaced.slice(1);
}

/** A value as people read it in a comparison. */
export function valueWord(value: unknown): string {
  if (value === null || value === undefined || value === '') return 'nothing';
  if (value === true) return 'yes';
  if (value === false) return 'no';
  if (typeof value === 'number') return value.toLocaleString('en');
  if (Array.isArray(value)) return value.length === 0 ? 'none' : value.map((item) => (typeof item === 'object' ? stepWord(item) : String(item))).join('; ');
  return typeof value === 'object' ? JSON.stringify(value) : String(value);
}

function stepWord(item: unknown): string {
  return typeof item === 'object' && item !== null && 'text' in item ? String(item.text) : JSON.stringify(item);
}
