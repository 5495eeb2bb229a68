import { createServer } from 'node:http';
import autocannon from 'autocannon';
import pg from 'pg';
import { openApi } from './database.mjs';

const CONNECTIONS = 16;
const SECONDS = 6;
const TURNS = 2;

/**
 * The list of doors, 50 a page, filtered and sorted, at 16 connections: requests a second of the API over those of the very
 * same SQL, in the same company transaction of the same pool, behind a bare node:http server. The better of two turns each.
 */
export async function benchDoors(bench) {
  const { owner, companyId } = bench;
  const { rows } = await owner.query('SELECT id FROM door_type WHERE company_id = $1 ORDER BY name LIMIT 1', [companyId]);
  const query = `/doors?limit=50&offset=100&sort=-chance90,name&doorTypeId=${rows[0].id}&state=in-service`;
  const api = await openApi(bench);
  const path = `${api.url}${query}`;
  const statement = await statementOf(path, api.cookie);
  const bare = await bareServer(bench, statement);
  try {
    const rates = { api: 0, bare: 0 };
    for (let turn = 0; turn < TURNS; turn++) {
      rates.bare = Math.max(rates.bare, await requestRate(bare.url, {}));
      rates.api = Math.max(rates.api, await requestRate(path, { cookie: api.cookie }));
    }
    return { ...rates, ratio: rates.api / rates.bare };
  } finally {
    await bare.close();
    await api.close();
  }
}

/** What the API asks PostgreSQL for this list, overheard once. */
async function statementOf(url, cookie) {
  const heard = [];
  const query = Reflect.get(pg.Client.prototype, 'query');
  pg.Client.prototype.query = function overheard(config, ...rest) {
    if (typeof config === 'object' && /door_list/.test(config.text ?? '')) heard.push(config);
    return query.call(this, config, ...rest);
  };
  try {
    const answer = await fetch(url, { headers: { cookie } });
    const page = await answer.json();
    if (page.items?.length !== 50) throw new Error(`a page of ${page.items?.length}: ${JSON.stringify(page).slice(0, 300)}`);
  } finally {
    pg.Client.prototype.query = query;
  }
  if (heard.length !== 1) throw new Error(`heard ${heard.length} statements on the list`);
  return heard[0];
}

async function bareServer({ store, context }, statement) {
  const server = createServer((_, response) => {
    store
      .withCompanySql(context, (client) => client.query(statement))
      .then(({ rows }) => {
        response.setHeader('content-type', 'application/json');
        response.end(JSON.stringify({ items: rows.slice(0, 50), hasNext: rows.length > 50, total: null }));
      })
      .catch((error) => {
        response.statusCode = 500;
        response.end(String(error));
      });
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${server.address().port}/`,
    close: () => new Promise((resolve) => server.close(resolve)),
  };
}

async function requestRate(url, headers) {
  const result = await autocannon({ url, headers, connections: CONNECTIONS, duration: SECONDS });
  if (result.non2xx > 0 || result.errors > 0) throw new Error(`${result.non2xx} answers were not 2xx, ${result.errors} errors`);
  return result['2xx'] / result.duration;
}
