import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { blankLines } from '../../src/findings/blankLines.ts';
import type { MeasuredOutput, MeasuredTest } from '../../src/measure/measured.ts';
import { boughtTest } from './buying/boughtChain.ts';

const chain = { language: 'en-US', currency: 'USD', unit: 'lb', thresholds: { chance: 0.9 } } as Chain;
const asOfDay = 20000;

type Sheet = { cutter: string; daysAgo?: number; item?: string; blank?: string };

/** Sheets of one store with main cut, lean trim and fat on each; `blank`: the line that is not weighed. */
const told = (sheets: readonly Sheet[], isKnown = false) => {
  const all = sheets.map(
    ({ cutter, daysAgo = 5, item = '180' }, i): MeasuredTest =>
      boughtTest({ testId: `t${i}`, store: 's1', region: 'North', cutter, item, cutDay: asOfDay - daysAgo }),
  );
  const outputs = sheets.flatMap(({ blank }, i) =>
    [
      ['steak', 'main cut'],
      ['trim', 'lean trim'],
      ['suet', 'fat'],
    ].map(
      ([output, outputClass]) =>
        ({
          store: 's1',
          testId: `t${i}`,
          output,
          outputClass,
          outputKg: output === blank ? Number.NaN : 0,
        }) as MeasuredOutput,
    ),
  );
  const seenDayOf = (): number => (isKnown ? asOfDay - 1 : asOfDay);
  return blankLines({ chain, asOfDay, all, outputs, seenDayOf });
};
const sheets = (count: number, sheet: Sheet): Sheet[] => Array.from({ length: count }, () => sheet);

describe('lines left blank', () => {
  it('are told of the one who leaves them, with how many and the sheets behind it', () => {
    const blank = { cutter: 'a', blank: 'trim' };
    const found = told([...sheets(6, blank), ...sheets(4, { cutter: 'a' }), ...sheets(20, { cutter: 'b' })]);
    expect(found.map((row) => [row.kind, row.store, row.cutter, row.item, row.status, row.tests])).toEqual([
      ['unweighed-trim', 's1', 'a', '180', 'new', 6],
    ]);
    expect(found[0]?.headline).toBe(
      'a on 180: trim is left blank in 6 of 10 tests of the last 90 days, so that these sheets are set aside. Is the trim tub not weighed? A question, not a verdict.',
    );
    expect(found[0]?.evidence.map(({ testId }) => testId)).toEqual(['t0', 't1', 't2', 't3', 't4', 't5']);
    expect(told(sheets(6, blank), true)[0]?.status).toBe('continuing');
  });

  it('are told of the room where most of its people do, naming nobody', () => {
    const room = ['a', 'b', 'c'].flatMap((cutter) => sheets(6, { cutter, blank: 'suet' }));
    const found = told([...room, ...sheets(9, { cutter: 'd', item: '112A' })]);
    expect(found.map((row) => [row.kind, row.store, row.cutter, row.tests])).toEqual([
      ['unweighed-trim', 's1', '', 18],
    ]);
  });

  it('are asked about as missing product where it is no tub of trim or fat', () => {
    expect(told(sheets(6, { cutter: 'a', blank: 'steak' }))[0]?.kind).toBe('missing-product');
  });

  it('are a slip where they are few, seldom or long ago; 0 is a weight', () => {
    expect(told(sheets(4, { cutter: 'a', blank: 'trim' }))).toEqual([]);
    expect(
      told(sheets(60, { cutter: 'a' }).map((one, i) => (i < 5 ? { ...one, blank: 'trim' } : one))),
    ).toEqual([]);
    expect(told(sheets(9, { cutter: 'a', blank: 'trim', daysAgo: 91 }))).toEqual([]);
    expect(told(sheets(30, { cutter: 'a' }))).toEqual([]);
  });
});
