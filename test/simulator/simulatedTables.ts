import type { Chain } from '../../src/catalog/chain.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { measure } from '../../src/measure/measure.ts';
import type { MeasuredNight } from '../../src/measure/measured.ts';
import type { NormalizedNight, NormalizedOutput, NormalizedTest } from '../../src/normalize/normalized.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { tableFromRows } from '../../src/tables/rows.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import type { SimChain, SimTest } from './simulated.ts';
import { chainText, classOfLine, method, outputOf, referenceOf, unitCostPerLb } from './simulatedFolder.ts';

/** The chain file of a simulated chain, read and checked as the program does. */
export const simulatedChainFile = (sim: SimChain): Chain =>
  readChain('simulated', {
    ...diskFileSystem,
    exists: () => true,
    readText: (path) => (path === 'simulated/chain.yaml' ? chainText(sim) : diskFileSystem.readText(path)),
  });

/** What intake and normalize make of the written folder, without the disk: every sheet as it was sent. */
export const normalizedNight = (sim: SimChain): NormalizedNight => {
  const inOrder = [...sim.tests].sort(
    (a, b) => byText(a.store.store, b.store.store) || byText(a.testId, b.testId),
  );
  const nextLine = new Map<string, number>();
  const tests: NormalizedTest[] = [];
  const outputs: NormalizedOutput[] = [];
  for (const test of inOrder) {
    const first = nextLine.get(test.store.store) ?? 2;
    nextLine.set(test.store.store, first + test.lines.length);
    tests.push(normalizedTest(test, first));
    const lines = test.lines.map((line, k) => ({ ...line, place: first + k }));
    for (const line of lines.sort((a, b) => byText(outputOf[a.name], outputOf[b.name])))
      outputs.push({
        store: test.store.store,
        testId: test.testId,
        output: outputOf[line.name],
        outputClass: classOfLine(line.name),
        outputKg: asSent(line.lb) * kgPerLb,
        weightAsSent: asSent(line.lb),
        pieces: Number.NaN,
        sourceLine: line.place,
      });
  }
  return {
    tests: tableFromRows(tests, Object.keys(tests[0] as NormalizedTest) as (keyof NormalizedTest)[]),
    outputs: tableFromRows(
      outputs,
      Object.keys(outputs[0] as NormalizedOutput) as (keyof NormalizedOutput)[],
    ),
    portions: tableFromRows([], []),
    reference: referenceOf(sim),
  };
};

/**
 * Measured tests for the model alone, all `used`: those that a perfect screen would leave (labels good and invented), or
 * of the labels given.
 */
export const measuredNight = (
  sim: SimChain,
  labels: readonly SimTest['label'][] = ['good', 'invented'],
): MeasuredNight => {
  const night = normalizedNight({ ...sim, tests: sim.tests.filter((test) => labels.includes(test.label)) });
  const n = night.tests.numRows();
  return measure(
    {
      tests: night.tests.assign({ state: new Array(n).fill('used'), reasons: new Array(n).fill('') }),
      outputs: night.outputs,
    },
    night.reference,
    simulatedChainFile(sim),
    sim.asOfDay,
  );
};

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** A weight as the sheet prints it. */
export const asSent = (lb: number): number => Number(lb.toFixed(3));

const normalizedTest = (test: SimTest, sourceLine: number): NormalizedTest => ({
  store: test.store.store,
  testId: test.testId,
  cutter: test.cutter.cutter,
  cutDay: test.day,
  item: test.item.item,
  spec: '',
  treatment: '',
  grade: test.grade,
  supplier: test.supplier.supplier,
  plant: '',
  lot: test.lot,
  packDay: Number.NaN,
  leaker: '',
  boughtClass: '',
  billedKg: Number.NaN,
  receivedKg: asSent(test.receivedLb) * kgPerLb,
  weighed: test.store.weighed,
  purgeKg: asSent(test.purgeLb) * kgPerLb,
  addedKg: Number.NaN,
  piecesIn: test.pieces,
  unit: 'lb',
  unitCostPerKg: unitCostPerLb / kgPerLb,
  method,
  minutes: 20,
  fatCoverIn: Number.NaN,
  reason: test.reason,
  witness: '',
  note: '',
  revisedDay: Number.NaN,
  sourceFile: `inbox/${test.store.store}.csv`,
  sourceLine,
});
