import { openBench } from './database.mjs';
import { benchDoors } from './doors.mjs';
import { benchIngest } from './ingest.mjs';
import { benchProcesses } from './processes.mjs';
import { benchProjection } from './projection.mjs';
import { benchSync } from './sync.mjs';
import { benchFit, benchOutlook } from './wear.mjs';

// Figures are ratios within one run, so that they mean the same on any machine. Names of benches as arguments run those alone.
const wanted = process.argv.slice(2).filter((word) => !word.startsWith('--'));
const runs = (name) => wanted.length === 0 || wanted.includes(name);
const doors = Number(process.env['BENCH_DOORS'] ?? 10_000);

if (runs('wear')) {
  for (const count of [100_000, 1_000_000]) {
    const { fit, pass, ratio } = benchFit(count);
    console.log(`fit of ${count} censored lives: ${fit.toFixed(1)} ms; one pass of log and exp: ${pass.toFixed(1)} ms`);
    console.log(`fit ratio at ${count}: ${ratio.toFixed(1)} (wanted: 30 at most)`);
  }
  const { outlook, duty, ratio } = benchOutlook(doors);
  console.log(`outlook of ${6 * doors} parts: ${outlook.toFixed(0)} ms; duty of their doors: ${duty.toFixed(0)} ms`);
  console.log(`outlook ratio: ${ratio.toFixed(2)} (wanted: 3 at most)`);
}

const ofDatabase = { projection: showProjection, processes: showProcesses, doors: showDoors, ingest: showIngest, sync: showSync };
const some = Object.entries(ofDatabase).filter(([name]) => runs(name));
if (some.length > 0) {
  const bench = await openBench({ doors, readings: 100 });
  console.log(`${doors} doors, 6 parts each, 100 readings each`);
  try {
    for (const [, show] of some) await show(bench);
  } finally {
    await bench.close();
  }
}

async function showProjection(bench) {
  const { projection, bound, rows, ratio } = await benchProjection(bench);
  console.log(`re-projection: ${projection.toFixed(2)} s; reading and writing alone: ${bound.toFixed(2)} s (reading the readings as rows: ${rows.toFixed(2)} s)`);
  console.log(`re-projection ratio: ${ratio.toFixed(2)} (wanted: 2 at most)`);
}

async function showProcesses(bench) {
  const { one, two, bound } = await benchProcesses(bench);
  console.log(`re-projection by one process: ${one.toFixed(2)} s; by two: ${two.toFixed(2)} s; reading and writing alone: ${bound.toFixed(2)} s`);
  console.log(`re-projection ratio: by one process ${(one / bound).toFixed(2)}, by two ${(two / bound).toFixed(2)} (wanted: 2 at most)`);
}

async function showDoors(bench) {
  const { api, bare, ratio } = await benchDoors(bench);
  console.log(`list of doors: ${api.toFixed(0)} requests/s; the same SQL behind node:http: ${bare.toFixed(0)} requests/s`);
  console.log(`list ratio: ${ratio.toFixed(2)} (wanted: 0.5 at least)`);
}

async function showIngest(bench) {
  const { post, bound, ratio } = await benchIngest(bench);
  console.log(`ingest: ${post.toFixed(0)} readings/s by POST; inserted by UNNEST: ${bound.toFixed(0)} readings/s`);
  console.log(`ingest ratio: ${ratio.toFixed(2)} (wanted: 0.5 at least)`);
}

async function showSync(bench) {
  const { sync, bound, ratio } = await benchSync(bench);
  console.log(`sync: ${sync.toFixed(0)} commands/s of a device in batches of 500 by POST; the same rows inserted by UNNEST: ${bound.toFixed(0)} commands/s`);
  console.log(`sync ratio: ${ratio.toFixed(2)} (wanted: 0.3 at least)`);
}
