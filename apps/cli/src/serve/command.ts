import { Command } from 'commander';

/** `lintel serve`: everything on one machine, until Ctrl-C. */
export function serveCommand(): Command {
  return new Command('serve')
    .description('start database, API, pages and worker on this machine; Ctrl-C stops them')
    .addHelpText(
      'after',
      '\nEnvironment:\n  PORT (4600), HOST (127.0.0.1), LINTEL_HOME (.lintel), DATABASE_URL, REDIS_URL, LINTEL_DEMO_PASSWORD' +
        '\n\nExample:\n  PORT=8080 npx lintel serve',
    )
    .action(async () => {
      // Loaded here: the other commands need no web server.
      const { serve } = await import('./serve.js');
      await serve(process.env, (line) => process.stdout.write(`${line}\n`));
    });
}
