import type { ReferenceTables } from '../../src/normalize/normalized.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import { type ClassName, classNames, habits, pricesPerLb } from './compositions.ts';
import { seededDraws } from './seededDraws.ts';
import type { SimChain } from './simulated.ts';

export const method = 'standard';
export const unitCostPerLb = 9.5;
/** Our name of the one output of each class. */
export const outputOf: Record<ClassName, string> = {
  main_cut: 'steak',
  other_cut: 'cap',
  lean_trim: 'lean trim',
  fat: 'fat',
  bone: 'bone',
  waste: 'waste',
  unaccounted: '',
};
export const classOfLine = (name: ClassName): string => name.replace('_', ' ');
const weighed = classNames.filter((name) => name !== 'unaccounted');

/** The ad week's price of the main cut, the last full week but one before the night. */
const adPricePerLb = 9.99;
const weeksOfVolume = 6;

/** chain.yaml of a simulated chain. */
export const chainText = (sim: SimChain): string =>
  [
    'name: Simulated chain',
    'currency: USD',
    'unit: lb',
    'timezone: UTC',
    'language: en-US',
    'items:',
    ...sim.items.map(
      ({ item, typicalLb }) =>
        `  - {item: "${item}", imps: "${item}", name: "Item ${item}", weight_classes: [{name: light, from: 0, to: ${typicalLb}}, {name: heavy, from: ${typicalLb}}]}`,
    ),
    'outputs:',
    ...weighed.map(
      (name) =>
        `  - {output: ${outputOf[name]}, class: ${classOfLine(name)}${name === 'lean_trim' ? ', lean_point: 80' : ''}}`,
    ),
    'methods:',
    ...sim.items.map(
      ({ item, base }) =>
        `  - {method: ${method}, item: "${item}", main: [steak], outputs: [${weighed
          .filter((name) => base[name] > 0)
          .map((name) => outputOf[name])
          .join(', ')}]}`,
    ),
    'grades:',
    '  - {grade: Prime, scale: USDA, rank: 1}',
    '  - {grade: Choice, scale: USDA, rank: 2}',
    '  - {grade: Select, scale: USDA, rank: 3}',
    'thresholds: {effect_points: 1, money_per_week: 0, chance: 0.9}',
    'labor_per_hour: 24',
    'target_margin: 30',
    'lean_trim_floor: 50',
    '',
  ].join('\n');

/** Reference tables as the program keeps them: weights in kg, prices per kg. */
export const referenceOf = (sim: SimChain): ReferenceTables => {
  const volume = seededDraws(sim.seed, 8);
  return {
    prices: [
      ...weighed.map((name) =>
        price(name, pricesPerLb[name], { from: dayFromIso('2025-01-01'), to: Number.NaN, kind: 'regular' }),
      ),
      ...(sim.settings.adWeek
        ? [price('main_cut', adPricePerLb, { from: sim.asOfDay - 14, to: sim.asOfDay - 8, kind: 'ad' })]
        : []),
    ],
    quotes: [],
    stores: sim.stores.map((own) => ({
      store: own.store,
      name: `Store ${own.store}`,
      region: own.region,
      scaleDivisionKg: own.scaleDivisionLb * kgPerLb,
      testsOwedPerWeek: 3,
    })),
    volumes: sim.stores.flatMap(({ store }) =>
      sim.items.flatMap(({ item }) => {
        const usualLb = Math.round(volume.between(150, 600));
        return Array.from({ length: weeksOfVolume }, (_, week) => ({
          store,
          item,
          weekOf: sim.asOfDay - 7 * (weeksOfVolume - week),
          weightKg: usualLb * kgPerLb,
        }));
      }),
    ),
    cutters: sim.cutters.map((own) => ({
      cutter: own.cutter,
      name: '',
      store: own.home.store,
      since: own.sinceDay,
    })),
    standards: [],
    coaching: sim.cutters.flatMap(({ cutter, coached, habit }) =>
      coached === undefined || coached.isControl
        ? []
        : [
            {
              cutter,
              item: coached.item,
              habit: habit === undefined ? '' : (habits[habit.kind].kinds[0] as string),
              coachedOn: coached.day,
              by: 'Trainer',
            },
          ],
    ),
  };
};

const price = (
  name: ClassName,
  perLb: number,
  { from, to, kind }: { from: number; to: number; kind: string },
): ReferenceTables['prices'][number] => ({
  output: outputOf[name],
  pricePerKg: perLb / kgPerLb,
  validFrom: from,
  validTo: to,
  kind,
  region: '',
  item: '',
  grade: '',
});
