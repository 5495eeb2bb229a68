import type { FastifyReply } from 'fastify';
import { invalidField, Refusal } from '../refusal.js';
import type { Row } from './definition.js';

/** The row's version as its ETag. */
export function setEtag(reply: FastifyReply, row: Row): void {
  if (typeof row['version'] === 'number') reply.header('etag', `"${row['version']}"`);
}

/** The version that a change was made over, from If-Match. @throws Refusal when it is missing or no version. */
export function versionOf(ifMatch: string | undefined): number {
  if (ifMatch === undefined) {
    throw new Refusal('version-required', 'Say in If-Match which version the change was made over: the ETag of the row.');
  }
  const match = /^\s*"([1-9]\d{0,8})"\s*$/.exec(ifMatch);
  if (match === null) throw invalidField('If-Match', 'must be the ETag of one row, e.g. "3"');
  return Number(match[1]);
}

/** The same for verbs, where it is honoured if given. */
export const versionIfGiven = (ifMatch: string | undefined): number | null =>
  ifMatch === undefined ? null : versionOf(ifMatch);
