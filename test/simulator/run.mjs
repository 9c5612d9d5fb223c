// Bundles one TypeScript program of this folder with the code it scores and runs it:
//   node test/simulator/run.mjs score --variant base --seeds 20
import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { build } from 'esbuild';

const [program, ...options] = process.argv.slice(2);
// inside the package, so that its dependencies and schemas are found
const outfile = `dist/simulator/${program}.mjs`;
mkdirSync('dist/simulator', { recursive: true });
await build({
  entryPoints: [`test/simulator/${program}.ts`],
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  outfile,
  logLevel: 'warning',
});
process.exitCode = spawnSync(process.execPath, [outfile, ...options], { stdio: 'inherit' }).status ?? 1;
