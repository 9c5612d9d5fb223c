// Bundles the page runtime and copies what the compiled program reads beside its code.
import { existsSync } from 'node:fs';
import { build } from 'esbuild';

const entries = ['runtime', 'filters', 'whatIf']
  .map((name) => `src/publish/client/${name}.ts`)
  .filter((file) => existsSync(file));
if (entries.length > 0) {
  await build({
    entryPoints: entries,
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2022',
    outdir: 'dist/client',
    legalComments: 'none',
    logLevel: 'warning',
  });
}
