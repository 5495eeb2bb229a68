import { certificate, certificateList, companyKey, companyKeyList } from '@lintel/contract';
import type { ReadDefinition } from '../platform/resource/definition.js';

const room = 'safety';

/** Facts: issued by completing an inspection, never changed. */
export const certificates: ReadDefinition = {
  path: 'certificates', room, resource: 'certificates', subject: 'certificate', view: 'certificate_list', record: certificate,
  list: certificateList, search: ['number', 'doorName', 'siteName', 'personName'],
};

/** Public halves alone. */
export const certificateKeys: ReadDefinition = {
  path: 'certificate-keys', room, resource: 'certificate-keys', subject: 'certificate key', view: 'company_key_list', record: companyKey,
  list: companyKeyList, search: [],
};
