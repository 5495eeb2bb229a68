import type { FeedVisit } from '@lintel/store';
import ical from 'ical-generator';

/** Visits as an iCalendar object (RFC 5545), times in UTC: every program shows them by its own clock. */
export function calendarText(technician: string, visits: readonly FeedVisit[]): string {
  const calendar = ical({ name: technician, prodId: { company: 'Lintel', product: 'routes', language: 'EN' }, ttl: 1800 });
  for (const { id, siteName, address, latitude, longitude, startAt, leaveAt, publishedAt, items } of visits) {
    calendar.createEvent({
      id: `${id}@lintel`,
      stamp: publishedAt,
      start: startAt,
      end: leaveAt,
      summary: siteName,
      description: items.map(({ doorName, title }) => `${doorName}: ${title}`).join('\n'),
      location: {
        title: address ?? siteName,
        ...(latitude === null || longitude === null ? {} : { geo: { lat: latitude, lon: longitude } }),
      },
    });
  }
  return calendar.toString();
}
