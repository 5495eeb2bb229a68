import { generateKeyPairSync } from 'node:crypto';
import { certificateContent, type CertificateFacts } from '@lintel/engine';
import { keyFingerprint, sealCertificate } from '@lintel/store';

/** A key of a test's own. */
export function testKey() {
  const { publicKey, privateKey } = generateKeyPairSync('ed25519');
  return { id: 'key', fingerprint: keyFingerprint(publicKey), publicKey: String(publicKey.export({ type: 'spki', format: 'pem' })), privateKey };
}

/** Facts as a sealed certificate. */
export function sealedFrom(facts: CertificateFacts, key = testKey()) {
  const { content, seal } = sealCertificate(certificateContent({ ...facts, keyId: key.fingerprint }), key);
  return { content, seal };
}
