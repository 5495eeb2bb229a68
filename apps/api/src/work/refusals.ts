import type { Refused } from '@lintel/store';
import { invalidField, notFound, Refusal } from '../platform/refusal.js';

const missing: Record<string, string> = { 'no-such-order': 'work-order', 'no-such-finding': 'finding' };

/** What the rules of work refuse, as a refusal of the API; the code and its facts go with it, for the pages' sentence. */
export function workRefusal({ refused, facts }: Refused): Refusal {
  const { field } = facts;
  const said = sentence(refused);
  if (typeof field === 'string' && refused !== 'not-a-command') return invalidField(field, said);
  const what = missing[refused];
  if (what !== undefined) return notFound(what);
  const refusal = { code: refused, facts };
  if (refused === 'not-yours') return new Refusal('forbidden', 'This order is another technician\'s.', { refusal });
  if (refused === 'image-too-large') return new Refusal('too-large', 'An image is 4 MB at most.', { refusal });
  if (refused === 'not-an-image') return new Refusal('not-this-media-type', 'This is no JPEG, PNG or WebP image.', { refusal });
  return new Refusal('conflict', said, { refusal });
}

const sentences: Record<string, string> = {
  'ordered-already': 'an open work order is to do this already',
  'finding-cleared': 'this finding is cleared already',
  'finding-has-order': 'a work order is to put this right already',
  'unsafe-needs-retest': 'What is unsafe is cleared by a passed retest alone.',
  'door-decommissioned': 'this door is decommissioned',
  'no-such-technician': 'nobody of the company\'s staff has this account',
};

function sentence(code: string): string {
  return sentences[code] ?? code.replaceAll('-', ' ');
}
