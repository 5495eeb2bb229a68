import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

const SERVER = fileURLToPath(import.meta.resolve('@lintel/worker/server'));
const RESTART_AFTER_MS = 1_000;
const STOP_WITHIN_MS = 20_000;

/** The worker in a process of its own, so that computing never holds up a request. Started again when it dies. */
export class WorkerProcess {
  private child: ChildProcess | null = null;
  private stopping = false;

  constructor(
    private readonly environment: NodeJS.ProcessEnv,
    private readonly report: (line: string) => void,
  ) {}

  start(): void {
    // The channel tells the child when we are gone, also by SIGKILL: it then ends by itself. Detached, it does not hear Ctrl-C
    // beside us: it is stopped when the API has answered its last request.
    const child = fork(SERVER, [], { env: this.environment, stdio: ['ignore', 'inherit', 'inherit', 'ipc'], detached: true });
    this.child = child;
    child.once('exit', (code, signal) => {
      this.child = null;
      if (this.stopping) return;
      this.report(`the worker ended (${signal ?? code}); starting it again`);
      setTimeout(() => !this.stopping && this.start(), RESTART_AFTER_MS);
    });
  }

  async stop(): Promise<void> {
    this.stopping = true;
    const { child } = this;
    if (!child) return;
    const ended = once(child, 'exit');
    child.kill('SIGTERM');
    const late = setTimeout(() => child.kill('SIGKILL'), STOP_WITHIN_MS);
    await ended;
    clearTimeout(late);
  }
}
