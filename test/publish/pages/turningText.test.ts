import { describe, expect, it } from 'vitest';
import type { IndifferenceRow, RankedQuote } from '../../../src/findings/buying/buyingRows.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { turningText } from '../../../src/publish/pages/turningText.ts';
import { boughtSettings } from '../../findings/buying/boughtChain.ts';

const chain = {
  ...boughtSettings,
  methods: [
    { method: 'steaks', item: 'rib', main: ['steak'], outputs: [], aliases: [], demand_per_week: Number.NaN },
  ],
};
const quote = (weightClass: string, before: number, after: number): RankedQuote =>
  ({
    item: 'rib',
    weightClass,
    marginPerBilledKg: before,
    marginAfterLaborPerBilledKg: after,
    offer: { method: 'steaks', weightClass },
  }) as unknown as RankedQuote;
const told = { chain, write: formats(chain), named: (one: RankedQuote) => one.weightClass };
const row = (from: RankedQuote, to: RankedQuote, over: Partial<IndifferenceRow> = {}): IndifferenceRow =>
  ({
    from: from.offer,
    to: to.offer,
    isLaborKnown: true,
    turningLaborRate: 40,
    turningMainCutPrice: -1.5,
    ...over,
  }) as IndifferenceRow;

describe('what would turn the choice', () => {
  const [mid, light] = [quote('mid', 2, 1.5), quote('light', 1.9, 1.6)];

  it('names who leads after labor, the labor rate and the price of the main cut', () => {
    expect(turningText([mid, light], [row(mid, light)], told)).toBe(
      'After labor at $24.00 an hour light leaves $0.10 more per billed kg than mid. The choice turns where labor costs $40.00 an hour. It turns where steak sells for $1.50 less per kg.',
    );
  });

  it('says so where minutes are not known, and where no rate or price near turns it', () => {
    const far = row(mid, light, { turningLaborRate: 4000, turningMainCutPrice: Number.NaN });
    expect(turningText([mid, light], [far], told)).toContain('No labor rate near today’s turns the choice.');
    expect(turningText([mid, light], [far], told)).toContain(
      'No price of steak within half of today’s turns it.',
    );
    const blind = row(mid, light, { isLaborKnown: false });
    expect(turningText([mid, light], [blind], told)).toMatch(
      /^Before labor, which is not known, mid leaves \$0\.10/,
    );
  });

  it('is silent with one quote, or two that are not compared', () => {
    expect(turningText([mid], [row(mid, light)], told)).toBe('');
    expect(turningText([mid, light], [], told)).toBe('');
  });
});
