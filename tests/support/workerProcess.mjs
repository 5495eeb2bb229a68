// A worker in a process of its own, for tests that kill it. Options as JSON in the first argument.
import { startWorker } from '../../apps/worker/dist/index.js';

const line = (level) => (fields, message) => process.stdout.write(`${level} ${message} ${JSON.stringify(fields)}\n`);
const log = { info: line('info'), warn: line('warn'), error: line('error') };
const worker = await startWorker({ ...JSON.parse(process.argv[2]), log });
process.stdout.write('ready\n');
process.on('SIGTERM', () => void worker.close().then(() => process.exit(0)));
