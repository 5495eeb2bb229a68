import { openBench } from './database.mjs';
import { benchDoors } from './doors.mjs';
import { benchIngest } from './ingest.mjs';
import { benchProjection } from './projection.mjs';

// Figures are ratios within one run, so that they mean the same on any machine. Names of benches as arguments run those alone.
const wanted = process.argv.slice(2).filter((word) => !word.startsWith('--'));
const runs = (name) => wanted.length === 0 || wanted.includes(name);
const doors = Number(process.env['BENCH_DOORS'] ?? 10_000);
const bench = await openBench({ doors, readings: 100 });
console.log(`${doors} doors, 6 parts each, 100 readings each`);
try {
  if (runs('projection')) {
    const { projection, bound, rows, ratio } = await benchProjection(bench);
    console.log(`re-projection: ${projection.toFixed(2)} s; reading and writing alone: ${bound.toFixed(2)} s (reading the readings as rows: ${rows.toFixed(2)} s)`);
    console.log(`re-projection ratio: ${ratio.toFixed(2)} (wanted: 2 at most)`);
  }
  if (runs('doors')) {
    const { api, bare, ratio } = await benchDoors(bench);
    console.log(`list of doors: ${api.toFixed(0)} requests/s; the same SQL behind node:http: ${bare.toFixed(0)} requests/s`);
    console.log(`list ratio: ${ratio.toFixed(2)} (wanted: 0.5 at least)`);
  }
  if (runs('ingest')) {
    const { post, bound, ratio } = await benchIngest(bench);
    console.log(`ingest: ${post.toFixed(0)} readings/s by POST; inserted by UNNEST: ${bound.toFixed(0)} readings/s`);
    console.log(`ingest ratio: ${ratio.toFixed(2)} (wanted: 0.5 at least)`);
  }
} finally {
  await bench.close();
}
