import { parseArgs } from 'node:util';
import type { ColumnTable } from 'arquero';
import { table } from 'arquero';
import { findings } from '../../src/findings/findings.ts';
import { measure } from '../../src/measure/measure.ts';
import { model } from '../../src/model/model.ts';
import type { NormalizedNight } from '../../src/normalize/normalized.ts';
import { review } from '../../src/review/review.ts';
import { screen } from '../../src/screen/screen.ts';
import { simulateChain } from './simulateChain.ts';
import { normalizedNight, simulatedChainFile } from './simulatedTables.ts';

/** Cpu seconds (user and system, so that other work on the machine does not count) by part of the night, and MB. */
const spent: { part: string; seconds: number; residentMb: number }[] = [];

const timed = async <Result>(part: string, work: () => Result | Promise<Result>): Promise<Result> => {
  const before = process.cpuUsage();
  const result = await work();
  const { user, system } = process.cpuUsage(before);
  spent.push({ part, seconds: (user + system) / 1e6, residentMb: process.memoryUsage.rss() / 2 ** 20 });
  return result;
};

/** The same sheets in as many chains side by side, as one that buys from the same suppliers: stores, cutters and lots of each copy are its own. */
const copied = (night: NormalizedNight, copies: number): NormalizedNight => {
  const own = ['store', 'cutter', 'lot'];
  const repeated = (source: ColumnTable): ColumnTable => {
    const columns = source.columnNames().map((name): [string, unknown[]] => {
      const values = Array.from(source.array(name) as ArrayLike<unknown>);
      const named = (copy: number): unknown[] =>
        own.includes(name) && copy > 0
          ? values.map((value) => (value === '' ? '' : `${String(value)}-${copy}`))
          : values;
      return [name, Array.from({ length: copies }, (_, copy) => named(copy)).flat()];
    });
    return table(Object.fromEntries(columns));
  };
  const rows = <Row extends object>(list: readonly Row[]): Row[] =>
    Array.from({ length: copies }, (_, copy) =>
      list.map((row) =>
        copy === 0
          ? row
          : (Object.fromEntries(
              Object.entries(row).map(([name, value]) => [
                name,
                own.includes(name) && value !== '' ? `${String(value)}-${copy}` : value,
              ]),
            ) as Row),
      ),
    ).flat();
  const { reference } = night;
  return {
    tests: repeated(night.tests),
    outputs: repeated(night.outputs),
    portions: night.portions,
    reference: {
      ...reference,
      stores: rows(reference.stores),
      cutters: rows(reference.cutters),
      volumes: rows(reference.volumes),
      coaching: rows(reference.coaching),
    },
  };
};

/** What screen, review and findings cost beside the model fit, on so many copies of one simulated chain (220 cutters, about 15,000 tests each). */
const main = async (): Promise<void> => {
  const { values } = parseArgs({
    options: { copies: { type: 'string', default: '7' }, variant: { type: 'string', default: 'base' } },
  });
  const sim = simulateChain(1, values.variant as 'base');
  const chain = simulatedChainFile(sim);
  const night = copied(normalizedNight(sim), Number(values.copies));
  const settings = { effectPoints: chain.thresholds.effect_points };
  const { reference } = night;
  const screened = await timed('screen', () => screen(night, chain));
  const measured = await timed('measure', () => measure(screened, reference, chain, sim.asOfDay));
  const modeled = await timed('model', () => model(measured, settings));
  await timed('review', () => review({ screened, measured, modeled }, { chain, stores: reference.stores }));
  // the night measures and fits once more where the review changed much: that costs what it cost before
  const found = await timed('findings', () =>
    findings({
      chain,
      asOfDay: sim.asOfDay,
      measured,
      modeled,
      portions: night.portions,
      reference,
      refusedFiles: [],
    }),
  );
  const fit = spent.find((row) => row.part === 'model')?.seconds as number;
  console.log(
    `${night.tests.numRows()} tests, ${new Set(night.tests.array('cutter') as string[]).size} cutters, ${found.findings.length} findings`,
  );
  for (const { part, seconds, residentMb } of spent)
    console.log(
      `  ${part.padEnd(14)} ${seconds.toFixed(1).padStart(7)} s ${((100 * seconds) / fit).toFixed(0).padStart(5)} % of one fit ${residentMb.toFixed(0).padStart(7)} MB resident after`,
    );
  const judging = spent
    .filter((row) => ['screen', 'review', 'findings'].includes(row.part))
    .reduce((sum, row) => sum + row.seconds, 0);
  console.log(
    `  screen + review + findings ${judging.toFixed(1)} s, ${((100 * judging) / fit).toFixed(0)} % of one model fit; most resident ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MB`,
  );
};

await main();
