import { createPrivateKey, createPublicKey, sign } from 'node:crypto';
import { canonicalText, certificateNumber, readCertificateNumber } from '@lintel/contract';
import { checkCertificate, publicKeyOf } from '@lintel/store';
import { describe, expect, it } from 'vitest';

describe('canonical JSON, against the examples that RFC 8785 (JSON Canonicalization Scheme) prints', () => {
  it('section 3.2.3: the sample object with numbers, a string of every kind of escape, literals', () => {
    const sample = JSON.parse(String.raw`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
      "literals": [null, true, false]
    }`) as unknown;
    expect(canonicalText(sample)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
  });

  it('section 3.2.3: names in the order of their UTF-16 code units', () => {
    const sample = JSON.parse(String.raw`{
      "\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
      "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"
    }`) as Record<string, string>;
    expect(Object.values(JSON.parse(canonicalText(sample)) as object).filter((value) => value !== 'One')).toEqual([
      'Carriage Return', 'Control', 'Latin Small Letter O With Diaeresis', 'Euro Sign', 'Emoji: Grinning Face', 'Hebrew Letter Dalet With Dagesh',
    ]);
    // The whole text, since JSON.parse puts names that look like numbers first.
    expect(canonicalText(sample)).toBe(
      '{"\\r":"Carriage Return","1":"One","\u0080":"Control","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","😀":"Emoji: Grinning Face","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
    );
  });

  // Appendix B, IEEE 754 bits to text.
  it.each([
    ['0000000000000000', '0'], ['8000000000000000', '0'], ['0000000000000001', '5e-324'], ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'], ['4430000000000000', '295147905179352830000'], ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'], ['444b1ae4d6e2ef4e', '999999999999999700000'], ['444b1ae4d6e2ef50', '1e+21'], ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'], ['41b3de4355555553', '333333333.3333332'], ['becbf647612f3696', '-0.0000033333333333333333'],
  ])('appendix B: %s is %s', (bits, text) => {
    expect(canonicalText(Buffer.from(bits, 'hex').readDoubleBE())).toBe(text);
  });

  it('refuses what JSON cannot say', () => {
    for (const value of [NaN, Infinity, 'half a character: \ud800', undefined]) expect(() => canonicalText(value)).toThrow(/not allowed|no JSON value/);
  });
});

describe('Ed25519, against RFC 8032 section 7.1', () => {
  // TEST 1 (empty message) and TEST 2 (one byte 0x72), secret keys as PKCS #8 by RFC 8410.
  it.each([
    ['9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60', 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a', '',
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b'],
    ['4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb', '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c', '72',
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00'],
  ])('secret %s', (secret, publicHex, message, signature) => {
    const key = createPrivateKey({ key: Buffer.from(`302e020100300506032b657004220420${secret}`, 'hex'), type: 'pkcs8', format: 'der' });
    expect(sign(null, Buffer.from(message, 'hex'), key).toString('hex')).toBe(signature);
    const publicKey = createPublicKey(key);
    expect(publicKey.export({ type: 'spki', format: 'der' }).subarray(-32).toString('hex')).toBe(publicHex);
    expect(publicKeyOf(String(publicKey.export({ type: 'spki', format: 'pem' })))).not.toBeNull();
  });

  it('takes neither a private key nor another kind for a public key', () => {
    const key = createPrivateKey({ key: Buffer.from(`302e020100300506032b657004220420${'11'.repeat(32)}`, 'hex'), type: 'pkcs8', format: 'der' });
    for (const pem of [String(key.export({ type: 'pkcs8', format: 'pem' })), '', 'nonsense', '-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n']) {
      expect(publicKeyOf(pem)).toBeNull();
    }
  });
});

describe('a certificate’s number', () => {
  // Base 32 of the hexadecimal digits, by hand: 00 44 32 14 C7 42 54 B6 35 CF is 0 1 2 … 15 in groups of five bits (the pattern of RFC 4648's base32hex alphabet).
  it('writes ten bytes in Crockford’s base 32', () => {
    expect(certificateNumber('2026-11-25', Buffer.from('00443214c74254b635cf', 'hex'))).toBe('20261125-0123-4567-89AB-CDEF');
    expect(certificateNumber('2026-11-25', Buffer.alloc(10, 255))).toBe('20261125-ZZZZ-ZZZZ-ZZZZ-ZZZZ');
    expect(() => certificateNumber('2026-11-25', Buffer.alloc(9))).toThrow(RangeError);
  });

  it('is read as people type it, and nothing else is', () => {
    for (const typed of ['20261125-0123-4567-89AB-CDEF', ' 20261125-o123-4567-89ab-cdef ', '202611250l23456789abcdef']) {
      expect(readCertificateNumber(typed)).toBe('20261125-0123-4567-89AB-CDEF');
    }
    for (const typed of ['', '20261125', '20261125-0123-4567-89AB-CDEU', '20261125-0123-4567-89AB-CDE', '20261125-0123-4567-89AB-CDEFF', '20261125/0123']) {
      expect(readCertificateNumber(typed)).toBeNull();
    }
  });
});

it('tells what is no certificate at all', () => {
  for (const [file, code] of [['', 'not-json'], ['{', 'not-json'], ['[]', 'not-a-certificate'], ['{"content":{},"seal":{}}', 'not-a-certificate']] as const) {
    expect(checkCertificate(file)).toEqual({ faults: [code], fingerprint: null, certificate: null });
  }
});
