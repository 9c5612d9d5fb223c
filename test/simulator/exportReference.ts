// Writes simulated chains for the reference fit in R: node test/simulator/run.mjs exportReference --to FOLDER --seeds 20
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { referenceRows } from './referenceRows.ts';
import { simulateChain } from './simulateChain.ts';

const { values } = parseArgs({
  options: { to: { type: 'string' }, seeds: { type: 'string', default: '20' } },
});
if (values.to === undefined) throw new Error('exportReference: name a folder with --to');
mkdirSync(values.to, { recursive: true });
for (let seed = 1; seed <= Number(values.seeds); seed++)
  writeFileSync(join(values.to, `base-${seed}.csv`), referenceRows(simulateChain(seed)));
