// The main job on the sample chain, in a folder of its own: copies sample-data/ to .demo/ and runs one night there.
import { spawnSync } from 'node:child_process';
import { cpSync, rmSync } from 'node:fs';

rmSync('.demo', { recursive: true, force: true });
for (const part of ['chain.yaml', 'inbox', 'reference'])
  cpSync(`sample-data/${part}`, `.demo/${part}`, { recursive: true });
const { status } = spawnSync(
  process.execPath,
  ['dist/src/cli/main.js', 'run', '.demo', '--as-of', '2026-11-23'],
  { stdio: 'inherit' },
);
// 3 = done with rejected rows, 4 = done with a silent store: the sample holds both on purpose.
process.exitCode = status === 3 || status === 4 ? 0 : (status ?? 1);
