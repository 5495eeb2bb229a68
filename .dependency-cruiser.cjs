/** One-way streets of the house: apps → store, queue, ui → contract → engine. */
const floors = (from, to) => ({ name: `${from.name}-stays-below`, severity: 'error', from: { path: from.path }, to: { path: to } });

module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'no-unresolved', severity: 'error', from: {}, to: { couldNotResolve: true } },
    floors({ name: 'engine', path: '^packages/engine/' }, '^(apps|packages/(?!engine))'),
    floors({ name: 'contract', path: '^packages/contract/' }, '^(apps|packages/(store|queue|ui))'),
    floors({ name: 'ui', path: '^packages/ui/' }, '^(apps|packages/(store|queue))'),
    floors({ name: 'store', path: '^packages/store/' }, '^(apps|packages/(queue|ui))'),
    floors({ name: 'queue', path: '^packages/queue/' }, '^(apps|packages/ui)'),
    floors({ name: 'pages', path: '^apps/admin/' }, '^(apps/(?!admin)|packages/(store|queue))'),
    floors({ name: 'api', path: '^apps/api/' }, '^(apps/(?!api)|packages/(queue|ui))'),
    floors({ name: 'worker', path: '^apps/worker/' }, '^(apps/(?!worker)|packages/ui)'),
    {
      name: 'engine-does-no-input-or-output',
      severity: 'error',
      from: { path: '^packages/engine/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'pages-do-no-database',
      severity: 'error',
      from: { path: '^(apps/admin|packages/ui)/' },
      to: { path: 'node_modules/(pg|bullmq|ioredis|@prisma)' },
    },
  ],
  options: {
    parser: 'swc',
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '(/dist/|dist-web|/generated/)' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['source', 'import', 'require', 'node', 'default', 'types'],
      extensions: ['.ts', '.tsx', '.js', '.mjs', '.cjs', '.json'],
    },
  },
};
