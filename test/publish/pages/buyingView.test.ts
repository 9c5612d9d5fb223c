import { describe, expect, it } from 'vitest';
import type { RankedQuote } from '../../../src/findings/buying/buyingRows.ts';
import { type BuyingInput, buyingView } from '../../../src/publish/pages/buyingView.ts';
import { kgPerLb } from '../../../src/units/weight.ts';

const quote = (over: Partial<RankedQuote> & { perLb?: number }): RankedQuote =>
  ({
    item: 'rib',
    spec: '',
    grade: 'Choice',
    weightClass: '11-13',
    supplier: 'North',
    plant: '',
    state: 'fresh',
    basis: 'delivered',
    pricePerKg: (over.perLb ?? 10) / kgPerLb,
    chanceBest: 0.99,
    missing: '',
    remedy: '',
    marginPerBilledKg: 2 / kgPerLb,
    marginLow: 1.9 / kgPerLb,
    marginHigh: 2.1 / kgPerLb,
    offer: { method: 'steaks' },
    ...over,
  }) as RankedQuote;
const read = (...quotes: RankedQuote[]) =>
  buyingView({
    chain: { language: 'en', currency: 'USD', unit: 'lb', methods: [], labor_per_hour: 20 },
    buying: { quotes, indifference: [], whatIf: [] },
    called: (item: string) => item,
  } as unknown as BuyingInput);

describe('the buyer’s first sentence', () => {
  it('says of what the quotes leave most, and with what another is nearly a tie', () => {
    const tied = quote({ perLb: 10.9, chanceBest: 0.57 });
    const second = quote({ perLb: 10.7, weightClass: '15-up' });
    const strip = quote({ item: 'strip', perLb: 9.2, weightClass: '12-14' });
    expect(read(tied, second).best).toMatch(
      /^Buy rib, 11-13 Choice, from North at \$10\.90, or 15-up Choice at \$10\.70: either leaves about \$[\d.]+ per lb before labor \(\$[\d.]+ to \$[\d.]+\)\.$/,
    );
    expect(read(tied, { ...second, supplier: 'South' }).best).toContain(
      ', or 15-up Choice from South at $10.70:',
    );
    expect(read({ ...tied, chanceBest: 0.9 }, second).best).toContain('at $10.90: it leaves');
    // what is sure comes before what is nearly tied
    expect(read(tied, second, strip).best).toContain('Buy strip, 12-14 Choice, from North at $9.20: it');
    expect(read(tied, second, strip).best.split(' ').length).toBeLessThanOrEqual(30);
  });
});

describe('a quote that cannot be valued', () => {
  it('tells what is missing, and whom to ask where it is not tests, without the name of a file', () => {
    const missing = 'the range 3-4 is not among the item’s weight classes';
    const remedy = 'add it to weight_classes of rib in chain.yaml';
    const told = (of: Partial<RankedQuote>) => read(quote(of)).unanswered[0]?.missing;
    expect(told({ missing, remedy })).toBe(`${missing}: whoever runs the night can enter it`);
    expect(told({ missing: 'no tests of rib' })).toBe('no tests of rib');
  });
});
