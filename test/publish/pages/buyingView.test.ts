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
    expect(read(tied, second, strip).best).toBe(
      'Buy from North rib, 11-13 Choice at $10.90 or 15-up Choice at $10.70 (nearly a tie), and strip, 12-14 Choice at $9.20: the quotes that leave the most margin per lb bought.',
    );
    const elsewhere = read(tied, { ...second, supplier: 'South' }).best;
    expect(elsewhere).toContain('or 15-up Choice at $10.70 from South (nearly a tie):');
    expect(read({ ...tied, chanceBest: 0.9 }, second).best).not.toContain('tie');
  });
});

describe('a quote that cannot be valued', () => {
  it('tells what is missing without the name of a file', () => {
    const missing = 'the range 3-4 is not among the weight classes of rib in chain.yaml';
    expect(read(quote({ missing })).unanswered[0]?.missing).toBe(
      'the range 3-4 is not among the weight classes of rib',
    );
  });
});
