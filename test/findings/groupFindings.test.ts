import { describe, expect, it } from 'vitest';
import type { IndifferenceRow, RankedQuote } from '../../src/findings/buying/buyingRows.ts';
import { groupFindings } from '../../src/findings/groupFindings.ts';
import { rangeFindings } from '../../src/findings/rangeFindings.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import type { EffectKind, EffectRow } from '../../src/model/modeled.ts';
import { normalCdf } from '../../src/tables/normalDistribution.ts';
import { boughtQuote, boughtTest, findingChain } from './buying/boughtChain.ts';

const asOfDay = 500;
const chain = findingChain('kg');

const effect = (
  kind: EffectKind,
  id: string,
  about: { outcome: string; effect: number; sd?: number },
): EffectRow => {
  const { sd = 0.4 } = about;
  return {
    kind,
    id,
    item: '',
    store: '',
    tests: 40,
    status: 'ok',
    ...about,
    sd,
    low: about.effect - 2 * sd,
    high: about.effect + 2 * sd,
    chanceBeyond: normalCdf((Math.abs(about.effect) - 1) / sd),
  } as EffectRow;
};
const used = Array.from({ length: 40 }, (_, i) =>
  boughtTest({ testId: `t${i}`, store: 's1', supplier: 'North', cutDay: 100 + i }),
);
const found = (
  effects: readonly EffectRow[],
  seenDayOf: (test: MeasuredTest) => number = () => asOfDay,
  told: ReadonlySet<string> = new Set(),
) => groupFindings({ chain, asOfDay, used, effects, seenDayOf }, told);

describe('suppliers and stores', () => {
  it('are told where the gap is clearly beyond the threshold, on either side for suppliers', () => {
    const rows = found([
      effect('supplier', 'North', { outcome: 'saleable', effect: -2.4 }),
      effect('supplier', 'South', { outcome: 'saleable', effect: 2.4 }),
      effect('supplier', 'West', { outcome: 'saleable', effect: -1.2 }),
      effect('supplier', 'East', { outcome: 'fat', effect: 3 }),
      effect('store', 's1', { outcome: 'unaccounted', effect: 2 }),
      effect('store', 's2', { outcome: 'unaccounted', effect: -2 }),
    ]);
    expect(rows.map((row) => [row.kind, row.reader, row.store, row.headline.slice(0, 8)])).toEqual([
      ['supplier-gap', 'buyer', '', 'North: s'],
      ['supplier-gap', 'buyer', '', 'South: s'],
      ['loss-high', 'trainer', 's1', 'Store s1'],
    ]);
    expect(new Set(rows.map((row) => row.findingId)).size).toBe(3);
    expect(rows[2]?.headline).toContain('2.0 points more unaccounted than expected');
    expect(rows[0]?.headline).toContain('saleable 2.4 points lower');
    expect(rows[1]?.headline).toContain('saleable 2.4 points higher');
    expect(rows[0]?.comparedWith).toBe('the mean of the other suppliers, same grade and weight');
    expect(rows[0]?.evidence[0]?.testId).toBe('t39');
  });
  it('are not told on all items where the loss of the store is told by item', () => {
    const rows = [effect('store', 's1', { outcome: 'unaccounted', effect: 2 })];
    expect(found(rows, undefined, new Set(['s2']))).toHaveLength(1);
    expect(found(rows, undefined, new Set(['s1']))).toEqual([]);
  });
  it('are news only until the tests known before say it alone', () => {
    const rows = [effect('store', 's1', { outcome: 'unaccounted', effect: 2 })];
    expect(found(rows)[0]?.status).toBe('new');
    expect(found(rows, () => asOfDay - 1)[0]?.status).toBe('continuing');
    expect(found(rows, (test) => (test.cutDay < 105 ? 0 : asOfDay))[0]?.status).toBe('new');
  });
});

describe('a better range', () => {
  const offer = (weightClass: string) => ({ ...boughtQuote({ weightClass }), tests: 20 });
  const row = (priceToPerKg: number, over: object = {}): IndifferenceRow =>
    ({
      item: 'rib',
      from: offer('mid'),
      to: offer('light'),
      priceFromPerKg: 9,
      sameMargin: { price: 9.6, low: 9.4, high: 9.8 },
      sameDollars: { price: 9.9, low: 9.5, high: 10.3 },
      priceToPerKg,
      isLaborKnown: true,
      missing: '',
      ...over,
    }) as unknown as IndifferenceRow;
  const ranges = (
    rows: readonly IndifferenceRow[],
    over: { validFrom?: number; isAnyKnown?: boolean; ranked?: RankedQuote[] } = {},
  ) =>
    rangeFindings(rows, {
      chain,
      asOfDay,
      quotes: [boughtQuote({ weightClass: 'light', validFrom: over.validFrom ?? 400 })],
      ranked: over.ranked ?? [],
      isAnyKnown: over.isAnyKnown ?? true,
    });

  it('is quoted below both prices at which it is worth the same, interval and all', () => {
    const [told, ...more] = ranges([row(9.3), row(9)]);
    expect(more).toEqual([]);
    expect([told?.kind, told?.reader, told?.item]).toEqual(['better-range', 'buyer', 'rib']);
    expect(told?.effect).toBeCloseTo(10, 12);
    expect(told?.low).toBeCloseTo((100 * 0.5) / 9, 12);
    expect(told?.headline).toContain(
      'light of North at $9.00 per kg is worth $9.90 beside mid of the same supplier at $9.00',
    );
    expect(ranges([row(9.45)])).toEqual([]);
    expect(ranges([row(Number.NaN), row(9, { missing: 'minutes' }), row(9, { to: offer('mid') })])).toEqual(
      [],
    );
  });
  it('is the one that ranks first of all quotes, and says who leaves more where that is of another supplier', () => {
    const of = (supplier: string) => ({
      from: { ...offer('mid'), supplier },
      to: { ...offer('light'), supplier },
    });
    const ranked = (...suppliers: string[]) =>
      suppliers.map((supplier) => ({
        ...of(supplier).to,
        item: 'rib',
        missing: '',
      })) as unknown as RankedQuote[];
    const rows = [row(9, of('South')), row(9.3, of('North')), row(9.1, of('North'))];
    const [first, ...more] = ranges(rows, { ranked: ranked('North', 'South') });
    expect(more).toEqual([]);
    expect(first?.headline).toContain('light of North at $9.10 ');
    expect(first?.headline).not.toContain('leaves most');
    const [second] = ranges(rows, { ranked: ranked('East', 'South', 'North') });
    expect(second?.headline).toContain('light of South at $9.00 ');
    expect(second?.headline).toContain('price), while light of East leaves most of all quotes, from ');
  });
  it('is news on the day of its quote', () => {
    expect(ranges([row(9)])[0]?.status).toBe('continuing');
    expect(ranges([row(9)], { validFrom: asOfDay })[0]?.status).toBe('new');
    expect(ranges([row(9)], { isAnyKnown: false })[0]?.status).toBe('new');
  });
});
