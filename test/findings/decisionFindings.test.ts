import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { type DecisionInput, decisionFindings } from '../../src/findings/decisionFindings.ts';
import type { MethodRow, StandardChangeRow } from '../../src/findings/merchandise/decisionRows.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import { boughtTest } from './buying/boughtChain.ts';

const chain = { language: 'en-US', currency: 'USD', unit: 'kg', methods: [] } as unknown as Chain;
const asOfDay = 500;
const used = [
  boughtTest({ testId: 'a', item: 'rib', method: 'cap and eye', cutDay: 40 }),
  boughtTest({ testId: 'b', item: 'rib', method: 'cap and eye', cutDay: 30 }),
];
const input = (isKnown: (test: MeasuredTest) => boolean): DecisionInput => ({
  chain,
  asOfDay,
  used,
  outputs: [],
  standards: [],
  isKnown,
});

const way = (over: Partial<MethodRow>): MethodRow =>
  ({
    item: 'rib',
    spec: '',
    method: 'cap and eye',
    otherMethod: 'ordinary',
    tests: 20,
    valuePerBilledKg: 18,
    gapPerBilledKg: -2,
    low: -3,
    high: -1,
    isLaborKnown: true,
    adjustedFor: 'grade, piece weight',
    output: 'cap',
    pricePerKg: 20,
    breakEvenPerKg: 23,
    breakEvenWithLaborPerKg: 25,
    ...over,
  }) as MethodRow;
const pair = (gap: number, reach = 1): MethodRow[] => [
  way({ gapPerBilledKg: gap, low: gap - reach, high: gap + reach }),
  way({
    method: 'ordinary',
    otherMethod: 'cap and eye',
    tests: 90,
    gapPerBilledKg: -gap,
    low: -gap - reach,
    high: -gap + reach,
  }),
];
const standard = (over: Partial<StandardChangeRow> = {}): StandardChangeRow => ({
  item: 'rib',
  method: 'ordinary',
  output: 'steak',
  book: 0.7,
  measured: 0.67,
  low: 0.66,
  high: 0.68,
  tests: 40,
  priceAtTargetMargin: 20,
  priceAtBook: 19,
  ...over,
});

describe('decisions as findings', () => {
  it('tell of the way that does not pay, against the other one, in points of what that one sells for', () => {
    const [row, ...more] = decisionFindings(
      { methods: pair(-2), standards: [] },
      input(() => false),
    );
    expect(more).toEqual([]);
    expect([row?.kind, row?.reader, row?.item, row?.cutter, row?.status, row?.since]).toEqual([
      'method-does-not-pay',
      'director',
      'rib',
      '',
      'new',
      '1970-01-31',
    ]);
    // 2 of the other way's 20 a kg
    expect(row?.effect).toBeCloseTo(-10, 12);
    expect(row?.headline).toContain(
      '"cap and eye" earns $2.00 less per billed kg after labor ($1.00 to $3.00)',
    );
    expect(row?.headline).toContain('cap breaks even at $25.00, now $20.00');
  });
  it('name the price at which its main cut breaks even, however the outputs are ordered, and the tests behind it', () => {
    const [own, other] = pair(-2) as [MethodRow, MethodRow];
    const eye = { ...own, output: 'eye steak', breakEvenWithLaborPerKg: 22 };
    const methods = [{ item: 'rib', method: 'cap and eye', main: ['eye steak'] }];
    const told = (rows: MethodRow[]) =>
      decisionFindings(
        { methods: rows, standards: [] },
        { ...input(() => false), chain: { ...chain, methods } as unknown as Chain },
      )[0];
    for (const rows of [
      [own, eye, other],
      [eye, own, other],
    ])
      expect(told(rows)?.headline).toContain('eye steak breaks even at $22.00, now $20.00');
    expect(told([own, eye, other])?.evidence.map(({ testId }) => testId)).toEqual(['a', 'b']);
  });
  it('say that a way pays where its whole interval is above, and nothing where it reaches 0', () => {
    const kinds = (gap: number) =>
      decisionFindings(
        { methods: pair(gap), standards: [] },
        input(() => false),
      ).map((row) => row.kind);
    expect(kinds(2)).toEqual(['method-pays']);
    expect(kinds(0.9)).toEqual([]);
  });
  it('tell of the way that loses where both are common', () => {
    const common = pair(2).map((row) => ({ ...row, tests: 50 }));
    const [row, ...more] = decisionFindings(
      { methods: common, standards: [] },
      input(() => false),
    );
    expect(more).toEqual([]);
    expect([row?.kind, row?.comparedWith]).toEqual(['method-does-not-pay', '"cap and eye"']);
  });
  it('name the book yield that is farthest off, once an item', () => {
    const standards = [standard({ output: 'lean', book: 0.1, measured: 0.09 }), standard()];
    const found = decisionFindings(
      { methods: [], standards },
      input(() => false),
    );
    expect(found.map((row) => [row.kind, row.outcome])).toEqual([['standard-to-change', 'steak']]);
    expect(found[0]?.effect).toBeCloseTo(-3, 12);
    expect(found[0]?.headline).toContain('measured at 67.0 % of drained weight, the book says 70.0 %');
  });
  it('are no news where the tests of before said the same', () => {
    const now = { methods: pair(-2), standards: [standard()] };
    expect(
      decisionFindings(
        now,
        input(() => true),
      ).map((row) => row.status),
    ).toEqual(['continuing', 'continuing']);
    expect(
      decisionFindings(
        now,
        input(({ testId }) => testId === 'a'),
      )[0]?.status,
    ).toBe('new');
  });
});
