import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import { Lintel, openBrowser, Reader, type Role } from './support.js';

interface Given {
  lintel: Lintel;
  browser: Browser;
  reader: Reader;
}

type House = Pick<Given, 'lintel' | 'browser'>;

/** One house and one browser for the tests of a file: `take` is given them before the first, and before whatever the file prepares itself. */
export function inHouse(take: (given: House) => void): void {
  let lintel: Lintel | undefined;
  let browser: Browser | undefined;
  beforeAll(async () => {
    lintel = await Lintel.start();
    browser = await openBrowser();
    take({ lintel, browser });
  });
  afterAll(async () => {
    await browser?.close();
    await lintel?.stop();
  });
}

/** The same, and for each of them somebody newly signed in: `take` is given them before it. */
export function signedIn(role: Role, take: (given: Given) => void): void {
  let house: House;
  let reader: Reader;
  inHouse((given) => (house = given));
  beforeEach(async () => {
    reader = await Reader.at(house.browser, house.lintel, role);
    take({ ...house, reader });
  });
  afterEach(async () => {
    await reader.close();
  });
}
