import { weightClassOf } from '../../catalog/weightClassOf.ts';
import type { PredictedOutcome, WeightModel } from '../../model/modeled.ts';
import { costPerSaleable } from '../../money/offerAnswer.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { fewestTests } from './boughtTests.ts';
import type { Expected, RankedQuote, YieldByWeightRow } from './buyingRows.ts';
import { unpricedText } from './missingFor.ts';
import { type OfferName, perDrained } from './offer.ts';
import type { OfferSource } from './offerSource.ts';
import { isUnseen, perBilled } from './offers.ts';

const points = 9;
const notKnown: Expected = { value: Number.NaN, low: Number.NaN, high: Number.NaN };

/** Every curve on its 2-98 % weights, for the average supplier and for each with 8 tests; grades with 8 tests. */
export const yieldByWeight = (source: OfferSource, quotes: readonly RankedQuote[]): YieldByWeightRow[] =>
  source.chain.items.flatMap(({ item, spec }) => {
    const at = { item, spec, state: 'fresh', grade: '', supplier: '', weightClass: '' };
    const model = source.modelOf(at);
    const { tests } = source.testsOf(at);
    if (model === undefined || model.outcomes.value === undefined) return [];
    const many = (part: 'grade' | 'supplier'): string[] =>
      [...groupedBy(tests, (test) => test[part])]
        .flatMap(([name, own]) => (own.length >= fewestTests ? [name] : []))
        .sort();
    const suppliers = ['', ...many('supplier').filter((name) => name !== '')];
    const ofGrade = groupedBy(tests, (test) => test.grade);
    return many('grade').flatMap((grade) => {
      const graded = ofGrade.get(grade) ?? [];
      const bySupplier = groupedBy(graded, (test) => test.supplier);
      return suppliers.flatMap((supplier) => {
        const own = supplier === '' ? graded : (bySupplier.get(supplier) ?? []);
        return curve({ ...at, grade, supplier }, { model, source, quotes, tests: own.length });
      });
    });
  });

type About = { model: WeightModel; source: OfferSource; quotes: readonly RankedQuote[]; tests: number };

const curve = (name: OfferName, { model, source, quotes, tests }: About): YieldByWeightRow[] => {
  const lost = source.lossesOf(name);
  const bought = source.testsOf(name);
  const credit = lost.usable.value * bought.credit;
  const missing = unpricedText(bought);
  const { item, spec, grade, supplier } = name;
  return Array.from({ length: points }, (_, place) => {
    const weightKg = model.lowKg + ((model.highKg - model.lowKg) * place) / (points - 1);
    const row = model.row(grade, weightKg, supplier);
    const basis = { model, row, pulls: [], boxes: '', isUnseen: isUnseen(name, model) };
    const of = (outcome: PredictedOutcome): Expected => {
      const { mean, sd } = perBilled(perDrained(basis, outcome), lost);
      return { value: mean, low: mean - z975 * sd, high: mean + z975 * sd };
    };
    const weightClass = weightClassOf(source.chain, name, weightKg / kilogramsPer(source.chain.unit));
    const deliveredPerKg = missing === '' ? bestPrice({ ...name, weightClass }, quotes) : Number.NaN;
    const saleable = of('saleable');
    const cost = (share: number): number => costPerSaleable(deliveredPerKg, { credit, saleable: share });
    return {
      ...{ item, spec, grade, supplier, tests, weightKg, weightClass, saleable, deliveredPerKg, missing },
      mainCut: of('main_cut'),
      valuePerBilledKg: missing === '' ? of('value') : notKnown,
      costPerSaleableKg: { value: cost(saleable.value), low: cost(saleable.high), high: cost(saleable.low) },
    };
  });
};

/** Delivered price of the best quote for a range, of the supplier or (supplier '') of any; quotes stand best first. */
const bestPrice = (name: OfferName, quotes: readonly RankedQuote[]): number =>
  quotes.find(
    (quote) =>
      quote.missing === '' &&
      quote.item === name.item &&
      quote.spec === name.spec &&
      quote.grade === name.grade &&
      quote.state === name.state &&
      quote.weightClass === name.weightClass &&
      (name.supplier === '' || quote.supplier === name.supplier),
  )?.deliveredPerKg ?? Number.NaN;
