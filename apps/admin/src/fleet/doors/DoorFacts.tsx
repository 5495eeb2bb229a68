import type { Door, Site } from '@lintel/contract';
import { formatDate, formatInstant, formatLength, formatWhole } from '@lintel/ui';
import { Facts } from '../../common/Page.js';
import { kindWords, temperatureWords } from '../../common/words.js';

function side(name: string | null, temperature: keyof typeof temperatureWords | null): string {
  if (name === null) return 'not given';
  return temperature === null ? name : `${name} (${temperatureWords[temperature].toLowerCase()})`;
}

/** The door as what it is: where it hangs, how it is built, how far it has come. */
export function DoorFacts({ door, site }: { door: Door; site: Site }) {
  const rows = [
    { term: 'Kind', value: `${kindWords[door.kind]}${door.heated ? ', heated frame' : ''}` },
    { term: 'Type', value: door.doorTypeName },
    { term: 'Serial', value: door.serial ?? 'not given' },
    ...(door.maker ? [{ term: 'Maker', value: door.maker }] : []),
    ...(door.installer ? [{ term: 'Installed by', value: door.installer }] : []),
    { term: 'Clear size', value: `${formatLength(site.units, door.widthMm)} × ${formatLength(site.units, door.heightMm)}` },
    { term: 'Between', value: `${side(door.fromZoneName, door.fromZoneClass)} and ${side(door.toZoneName, door.toZoneClass)}` },
    { term: 'Installed', value: formatDate(door.installedOn) },
    { term: 'Lifetime', value: door.lifetimeCycles === null ? 'not computed yet' : `about ${formatWhole(door.lifetimeCycles)} cycles` },
    { term: 'Last reading', value: door.lastReadingAt === null ? 'none' : formatInstant(door.lastReadingAt, door.timeZone) },
    { term: 'Computed', value: door.projectedAt === null ? 'not yet' : formatInstant(door.projectedAt) },
    ...(door.notes ? [{ term: 'Notes', value: door.notes }] : []),
  ];
  return <Facts rows={rows} />;
}
