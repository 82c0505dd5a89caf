/** The layers of docs/architecture.md, proven by dependency-cruiser on every `npm run check`. */

const PURE_LIBRARIES =
  'luxon|zod|rrule|libphonenumber-js|intl-messageformat|@formatjs|fastest-levenshtein|any-ascii|double-metaphone'

const layer = (name, mayUse) => ({
  name: `${name}-boundary`,
  severity: 'error',
  comment: `src/${name} may import only: ${[name, ...mayUse].join(', ')}`,
  from: { path: `^src/${name}/` },
  to: { path: '^src/', pathNot: `^src/(${[name, ...mayUse].join('|')})/` },
})

const only = (name, path, where) => ({
  name: `${name}-only-there`,
  severity: 'error',
  comment: `${name} is used only in src/(${where})`,
  from: { path: '^src/', pathNot: `^src/(${where})` },
  to: { path },
})

module.exports = {
  forbidden: [
    layer('core', []),
    layer('store', ['core', 'generated']),
    layer('app', ['core', 'store']),
    layer('queue', ['core', 'app']),
    layer('gateway', ['core', 'app']),
    layer('http', ['core', 'app']),
    layer('platform', ['core']),
    {
      name: 'gateways-see-only-ports',
      severity: 'error',
      comment: 'A gateway knows the ports, never a use case.',
      from: { path: '^src/gateway/' },
      to: { path: '^src/app/', pathNot: '^src/app/ports\\.ts$' },
    },
    {
      name: 'core-is-pure',
      severity: 'error',
      comment: 'The core imports itself and a few libraries that compute and do no I/O.',
      from: { path: '^src/core/' },
      to: {
        dependencyTypes: ['core', 'npm', 'npm-dev', 'npm-no-pkg', 'npm-unknown'],
        pathNot: `node_modules/(@types/)?(${PURE_LIBRARIES})/`,
      },
    },
    {
      name: 'app-needs-few-packages',
      severity: 'error',
      comment: 'Use cases are plain functions over core and store.',
      from: { path: '^src/app/' },
      to: {
        dependencyTypes: ['core', 'npm', 'npm-dev', 'npm-no-pkg', 'npm-unknown'],
        pathNot:
          'node_modules/(@types/)?(zod|luxon|csv-parse|csv-stringify|read-excel-file|write-excel-file|ical-generator)/|^(node:)?(crypto|stream)',
      },
    },
    only('express', 'node_modules/(@types/)?express/', 'http'),
    only('redis', 'node_modules/(bullmq|ioredis)/', 'queue|platform|main'),
    only('metrics', 'node_modules/prom-client/', 'platform'),
    only('postgres', 'node_modules/(pg|@types/pg|@prisma)/', 'store|generated|platform'),
    only('sockets', '^(node:)?(net|tls)$', 'gateway/smpp|platform|main'),
    only('files', '^(node:)?fs(/promises)?$', 'store/(statements|migrate)|platform|main|generated'),
    {
      name: 'main-is-the-root',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/main/' },
      to: { path: '^src/main/' },
    },
    { name: 'no-cycles', severity: 'error', from: { pathNot: '^src/generated/' }, to: { circular: true } },
    {
      name: 'no-orphans',
      severity: 'error',
      from: {
        orphan: true,
        path: '^src/',
        pathNot: '^src/(generated|core)/|^src/http/pages/assets/|\\.d\\.ts$',
      },
      to: {},
    },
    {
      name: 'no-tests-in-src',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^(tests|scripts)/' },
    },
    {
      name: 'no-dev-packages',
      severity: 'error',
      from: { path: '^src/' },
      to: {
        dependencyTypes: ['npm-dev'],
        dependencyTypesNot: ['type-only'],
        pathNot: 'node_modules/@types/',
      },
    },
  ],
  options: {
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'types'] },
  },
}
