// Writes a simulated chain as an operator's folder and says which night to run:
//   node test/simulator/run.mjs writeFolder --to FOLDER --variant base --seed 1
import { parseArgs } from 'node:util';
import { isoFromDay } from '../../src/units/calendarDay.ts';
import { simulateChain } from './simulateChain.ts';
import { variantNames } from './variants.ts';
import { writeChain } from './writeChain.ts';

const { values } = parseArgs({
  options: {
    to: { type: 'string' },
    variant: { type: 'string', default: 'base' },
    seed: { type: 'string', default: '1' },
  },
});
const variant = variantNames.find((own) => own === values.variant);
if (values.to === undefined || variant === undefined)
  throw new Error(
    `writeFolder: name a folder with --to and one of ${variantNames.join(', ')} with --variant`,
  );
const sim = simulateChain(Number(values.seed), variant);
writeChain(sim, values.to);
process.stdout.write(`${sim.tests.length} tests; run the night of ${isoFromDay(sim.asOfDay)}\n`);
