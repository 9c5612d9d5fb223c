// The arrows of DEVELOPERS.md, kept by dependency-cruiser. Each rule says what to do instead.
const stages = ['ingest', 'normalize', 'lake', 'screen', 'measure', 'model', 'review', 'findings', 'publish'];
const leaf = '^src/(units|tables|catalog|faults|money|system)/';
const edge = ['^src/[a-z]+/(read|write)[A-Z]', '^src/[a-z]+/[a-z]+/(read|write)[A-Z]'];
const engines = '^src/model/(mixed|robust|compositional|splines|linalg)/';
const worker = 'Worker[.]ts$';
// A stage's front door has its name; intake has more, one per kind of delivery.
const frontDoors = [
  ...stages.map((s) => `${s}/${s}`),
  'ingest/senderOf',
  'ingest/recordsAt',
  'ingest/misplacedTable',
  'normalize/normalizePortions',
  'normalize/normalizeReference',
  'lake/lakeRows',
  'lake/plannedParts',
  'lake/nextLedger',
  'lake/referenceInForce',
  'lake/retained',
  'publish/results/results',
  'publish/results/resultRows',
  'publish/cutterRecord',
  'publish/parquetFiles',
  'publish/releaseFile',
  'publish/restated',
  'publish/runSummary',
];
const rule = (name, comment, from, to) => ({ name, severity: 'error', comment, from, to });

module.exports = {
  forbidden: [
    ...stages.map((s) =>
      rule(
        `${s}-stands-alone`,
        `src/${s}/ calls only itself and the leaves; pipelines/ passes tables on.`,
        { path: `^src/${s}/` },
        { path: '^(src|pipelines)/', pathNot: [`^src/${s}/`, leaf], dependencyTypesNot: ['type-only'] },
      ),
    ),
    ...stages.map((s, i) =>
      rule(
        `${s}-looks-back-only`,
        'Name types of earlier stages only.',
        { path: `^src/${s}/` },
        { path: `^(src/(${[...stages.slice(i + 1), 'cli'].join('|')})|pipelines)/` },
      ),
    ),
    rule(
      'leaf-is-leaf',
      'The leaves import only leaves.',
      { path: leaf },
      { path: '^(src|pipelines)/', pathNot: leaf },
    ),
    rule(
      'engines-know-no-trade',
      'Engines take arrays and group codes.',
      { path: engines },
      { path: '^src/', pathNot: [engines, '^src/tables/'] },
    ),
    rule(
      'engines-need-no-trade-library',
      'Engines use arrays and simple-statistics only.',
      { path: engines },
      { dependencyTypes: ['npm'], pathNot: 'simple-statistics' },
    ),
    rule(
      'io-at-the-edges',
      'Only read*/write* files, system/ and cli/ may touch the outside.',
      { path: '^(src|pipelines)/', pathNot: ['^src/(cli|system)/', ...edge, worker] },
      { dependencyTypes: ['core'] },
    ),
    rule(
      'raw-disk-in-system-only',
      'fs, crypto and worker_threads live in system/.',
      { path: '^(src|pipelines)/', pathNot: ['^src/system/', worker] },
      { path: '^(node:)?(fs|fs/promises|crypto|worker_threads)$' },
    ),
    rule(
      'front-doors-only',
      'pipelines/ calls a stage front door, an edge file or a leaf.',
      { path: '^pipelines/' },
      {
        path: '^src/',
        pathNot: [`^src/(?:${frontDoors.join('|')})[.]tsx?$`, ...edge, leaf],
        dependencyTypesNot: ['type-only'],
      },
    ),
    rule(
      'cli-to-pipelines-only',
      'The command line starts pipelines; it may use leaves.',
      { path: '^src/cli/' },
      { path: '^src/', pathNot: ['^src/cli/', leaf] },
    ),
    rule(
      'vega-in-publish-only',
      'Charts belong to publish/.',
      { path: '^(src|pipelines)/', pathNot: '^src/publish/' },
      { path: 'node_modules/vega' },
    ),
    rule(
      'no-dev-dependency-in-src',
      'src/ runs on a bare install.',
      { path: '^(src|pipelines)/' },
      { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'] },
    ),
    rule('no-rings', 'Files may not import each other in a ring.', {}, { circular: true }),
    rule(
      'not-to-test',
      'Production code needs nothing from test/.',
      { path: '^(src|pipelines)/' },
      { path: '^(test|sample-data)/' },
    ),
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
  },
};
