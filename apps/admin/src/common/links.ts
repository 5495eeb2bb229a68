/** Address of a list narrowed by a filter, in the form in which the lists keep it. */
export function listLink(resource: string, filter: Record<string, unknown>): string {
  return `/${resource}?filter=${encodeURIComponent(JSON.stringify(filter))}`;
}

export const doorLink = (doorId: string): string => `/doors/${doorId}/show`;
export const siteLink = (siteId: string): string => `/sites/${siteId}/show`;
