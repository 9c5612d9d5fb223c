import { describe, expect, it } from 'vitest';
import type { QuarterChangeRow } from '../../../src/findings/merchandise/quarterChange.ts';
import { changePage } from '../../../src/publish/pages/changePage.tsx';
import { formats } from '../../../src/publish/pages/formats.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'kg' });
const row = (part: string, low: number, change: number, high: number): QuarterChangeRow =>
  ({
    item: 'strip',
    followed: 'value',
    part,
    before: 10,
    after: 10 + change,
    change,
    low,
    high,
    moneyPerWeek: 0,
    testsBefore: 20,
    testsAfter: 20,
    missing: '',
  }) as unknown as QuarterChangeRow;
const pageOf = (...changes: QuarterChangeRow[]): Promise<string> =>
  changePage(
    { changes, trend: [], called: (item) => item, write, basis: { data: '', adjusted: '' } },
    { chainName: 'Mill', reader: 'the buyer', nav: [], finds: '', banner: '' },
  );

describe('what changed since the quarter before', () => {
  it('is not told as clear where an end of its interval is written as 0', async () => {
    expect(await pageOf(row('price', 0.004, 0.02, 0.036), row('total', 0.004, 0.02, 0.036))).toContain(
      'Nothing clearly changed since the quarter before.',
    );
    expect(await pageOf(row('price', 0.006, 0.02, 0.034), row('total', 0.006, 0.02, 0.034))).toContain(
      'strip brings $0.02 more per billed kg than the quarter before because of price',
    );
  });
});
