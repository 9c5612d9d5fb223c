// Bundles what the pages run in the browser: page.js for every page, runtime.js for pages that draw there. A hash of the
// whole compiled program goes beside them: pages of an earlier night are used again only when it is the same.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';

// Parts of Vega that no chart of ours uses; without them the runtime is about a third smaller.
const unused = [
  'crossfilter',
  'force',
  'geo',
  'hierarchy',
  'label',
  'regression',
  'voronoi',
  'wordcloud',
  'projection',
];

const withoutUnused = {
  name: 'without-unused',
  setup(bundler) {
    bundler.onResolve({ filter: new RegExp(`^vega-(${unused.join('|')})$`) }, ({ path, importer }) =>
      /vega-functions/.test(importer) ? undefined : { path, namespace: 'unused', sideEffects: false },
    );
    bundler.onLoad({ filter: /.*/, namespace: 'unused' }, () => ({
      contents: 'module.exports = {};',
      loader: 'js',
    }));
  },
};

await build({
  entryPoints: ['page', 'runtime'].map((name) => `src/publish/client/${name}.ts`),
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2022',
  outdir: 'dist/client',
  legalComments: 'none',
  logLevel: 'warning',
  plugins: [withoutUnused],
});

const hash = createHash('sha256');
const compiled = readdirSync('dist/src', { recursive: true })
  .filter((file) => file.endsWith('.js'))
  .sort()
  .map((file) => `dist/src/${file}`);
for (const file of ['dist/client/page.js', 'dist/client/runtime.js', ...compiled])
  hash.update(readFileSync(file));
writeFileSync('dist/client/program.txt', `${hash.digest('hex').slice(0, 16)}\n`);
