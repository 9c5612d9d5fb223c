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
      'Nothing changed since the quarter before by more than chance brings among so many parts.',
    );
    expect(await pageOf(row('price', 0.006, 0.02, 0.034), row('total', 0.006, 0.02, 0.034))).toContain(
      'strip brings $0.02 more per billed kg than the quarter before because of price ($0.01 to $0.03)',
    );
  });
  it('is told as it stands in the table, where parts are rounded so that they add up', async () => {
    const parts = [row('weight', -0.0395, -0.0248, -0.0101), row('grade', -0.02, -0.0143, 0.01)];
    const page = await pageOf(...parts, row('total', -0.05, -0.0453, 0.01));
    expect(page).toContain('<td class="n" data-head="Change">−$0.03</td>');
    expect(page).toContain('brings $0.03 less per billed kg');
    expect(page).toContain('because of weight ($0.01 to $0.04)');
  });
  it('allows for chance among many parts', async () => {
    const quiet = Array.from({ length: 20 }, (_, k) => row(`quiet ${k}`, -0.01, 0, 0.01));
    const page = await pageOf(...quiet, row('price', 0.006, 0.02, 0.034), row('total', -0.01, 0.02, 0.04));
    expect(page).toContain('Nothing changed since the quarter before by more than chance');
  });
  it('tells a total that is more than chance where no part of it is', async () => {
    const parts = [row('price', -0.01, 0.01, 0.03), row('cutting', -0.01, 0.02, 0.04)];
    expect(await pageOf(...parts, row('total', 0.01, 0.03, 0.05))).toContain(
      'strip brings $0.03 more per billed kg than the quarter before ($0.01 to $0.05), but of no one part can it be said that it is more than chance.',
    );
  });
});
