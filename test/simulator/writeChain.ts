import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { isoFromDay } from '../../src/units/calendarDay.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import type { SimChain } from './simulated.ts';
import { chainText, method, outputOf, referenceOf, unitCostPerLb } from './simulatedFolder.ts';
import { asSent } from './simulatedTables.ts';

const testColumns =
  'test_id,store,cutter,cut_date,item,grade,supplier,lot,pieces_in,received_weight,weighed,purge_weight,unit,unit_cost,method,minutes,reason,output,output_weight';

/** Writes a simulated chain as an operator's folder: chain.yaml, one CSV a store, reference tables. `deckle run` takes it. */
export const writeChain = (sim: SimChain, folder: string): void => {
  for (const name of ['inbox', 'reference']) mkdirSync(join(folder, name), { recursive: true });
  writeFileSync(join(folder, 'chain.yaml'), chainText(sim));
  for (const [store, lines] of sheetsOf(sim))
    writeFileSync(join(folder, 'inbox', `${store}.csv`), `${[testColumns, ...lines].join('\n')}\n`);
  for (const [name, lines] of Object.entries(referenceTexts(sim)))
    writeFileSync(join(folder, 'reference', `${name}.csv`), `${lines.join('\n')}\n`);
};

const sheetsOf = (sim: SimChain): Map<string, string[]> => {
  const sheets = new Map<string, string[]>();
  for (const test of sim.tests) {
    const own = sheets.get(test.store.store) ?? [];
    sheets.set(test.store.store, own);
    const shared = [
      test.testId,
      test.store.store,
      test.cutter.cutter,
      isoFromDay(test.day),
      test.item.item,
      test.grade,
      test.supplier.supplier,
      test.lot,
      test.pieces,
      asSent(test.receivedLb),
      test.store.weighed,
      asSent(test.purgeLb),
      'lb',
      unitCostPerLb,
      method,
      20,
      test.reason,
    ].join(',');
    for (const line of test.lines) own.push(`${shared},${outputOf[line.name]},${asSent(line.lb)}`);
  }
  return sheets;
};

const referenceTexts = (sim: SimChain): Record<string, string[]> => {
  const tables = referenceOf(sim);
  const row = (...cells: (string | number)[]): string => cells.join(',');
  return {
    prices: [
      'output,price,unit,valid_from,valid_to,kind',
      ...tables.prices.map((own) =>
        row(
          own.output,
          asSent(own.pricePerKg * kgPerLb),
          'lb',
          isoFromDay(own.validFrom),
          isoFromDay(own.validTo),
          own.kind,
        ),
      ),
    ],
    stores: [
      'store,name,region,scale_division,tests_owed_per_week',
      ...tables.stores.map((own) =>
        row(own.store, own.name, own.region, asSent(own.scaleDivisionKg / kgPerLb), own.testsOwedPerWeek),
      ),
    ],
    volumes: [
      'store,item,week_of,weight,unit',
      ...tables.volumes.map((own) =>
        row(own.store, own.item, isoFromDay(own.weekOf), asSent(own.weightKg / kgPerLb), 'lb'),
      ),
    ],
    cutters: [
      'cutter,name,store,since',
      ...tables.cutters.map((own) => row(own.cutter, own.name, own.store, isoFromDay(own.since))),
    ],
    ...(tables.coaching.length === 0
      ? {}
      : {
          coaching: [
            'cutter,item,habit,coached_on,by',
            ...tables.coaching.map((own) =>
              row(own.cutter, own.item, own.habit, isoFromDay(own.coachedOn), own.by),
            ),
          ],
        }),
  };
};
