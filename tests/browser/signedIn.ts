import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import { Lintel, openBrowser, Reader, type Role } from './support.js';

interface Given {
  lintel: Lintel;
  browser: Browser;
  reader: Reader;
}

/** One house and one browser for the tests of a file, and for each of them somebody newly signed in: `take` is given them before it. */
export function signedIn(role: Role, take: (given: Given) => void): void {
  let lintel: Lintel | undefined;
  let browser: Browser | undefined;
  let reader: Reader;
  beforeAll(async () => {
    lintel = await Lintel.start();
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await lintel?.stop();
  });
  beforeEach(async () => {
    reader = await Reader.at(browser!, lintel!, role);
    take({ lintel: lintel!, browser: browser!, reader });
  });
  afterEach(async () => {
    await reader.close();
  });
}
