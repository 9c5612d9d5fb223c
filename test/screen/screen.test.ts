import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { screen } from '../../src/screen/screen.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import {
  honestSheets,
  normalizedSheets,
  type PlainSheet,
  tinyChain,
  weighing,
  wideSheets,
} from '../review/nightOfSheets.ts';

type Row = { testId: string; state: string; reasons: string };
const honest = honestSheets(60);
const reasonsOf = (
  sheets: readonly PlainSheet[],
  change?: (row: Record<string, unknown>) => object,
): Map<string, string> =>
  new Map(
    rowsOf<Row>(screen(normalizedSheets(sheets, change), tinyChain).tests).map((row) => [
      row.testId,
      row.reasons,
    ]),
  );
const spoiled = (at: number, spoil: (sheet: PlainSheet) => PlainSheet): string | undefined =>
  reasonsOf(honest.map((sheet, i) => (i === at ? spoil(sheet) : sheet))).get(
    (honest[at] as PlainSheet).testId,
  );

describe('screen', () => {
  it('uses honest sheets and keeps their rows and order', () => {
    const night = normalizedSheets(honest);
    const { tests, outputs } = screen(night, tinyChain);
    expect(rowsOf<Row>(tests).map((row) => [row.testId, row.state])).toEqual(
      honest.map((sheet) => [sheet.testId, 'used']),
    );
    expect(outputs).toBe(night.outputs);
  });

  it('holds a loss or a gain beyond tolerance, by the lines and half a division each', () => {
    // 3 % of 12 lb is 0.36 lb; 7 readings of 0.01 lb may hide 0.035 lb more
    const exact = (left: number) => (sheet: PlainSheet) => ({
      ...sheet,
      received: 12,
      lines: { steak: 8.4, cap: 0.7, 'lean trim': 1.4, fat: 1.4 - left, waste: 0.1 },
    });
    expect(spoiled(5, exact(0.39))).toBe('');
    expect(spoiled(5, exact(0.4))).toBe('mass-balance');
    expect(spoiled(5, exact(-0.03))).toBe('');
    expect(spoiled(5, exact(-0.04))).toBe('mass-balance');
  });

  it('lets a lasting loss of a cutter through as a habit', () => {
    const lossy = honest.map((sheet) =>
      sheet.cutter === 'c3' ? { ...sheet, lines: { ...sheet.lines, fat: 0.4 } } : sheet,
    );
    // three tests of c3 are too few to call it a habit, with six it is one
    expect([...reasonsOf(lossy).values()].filter((reasons) => reasons !== '')).toHaveLength(3);
    const more = [
      ...lossy,
      ...lossy
        .filter((sheet) => sheet.cutter === 'c3')
        .map((sheet, k) => ({ ...sheet, testId: `x${k}`, received: sheet.received + 0.01 })),
    ];
    expect([...reasonsOf(more).values()].filter((reasons) => reasons !== '')).toEqual([]);
  });

  it('lets a lasting loss through that has ended, and holds one sheet of it afterwards', () => {
    const ten = honest.slice(0, 14).map((sheet, k) => ({ ...sheet, cutter: 'c9', day: 20_000 + 20 * k }));
    const lossy = (sheet: PlainSheet) => ({
      ...sheet,
      received: Object.values(sheet.lines).reduce((sum, lb) => sum + lb, 0) / 0.92,
    });
    const ended = ten.map((sheet, k) => (k < 6 ? lossy(sheet) : sheet));
    const others = honest.slice(14).filter((sheet) => sheet.cutter !== 'c9');
    const heldOf = (own: readonly PlainSheet[]) =>
      [...reasonsOf([...own, ...others])].filter(([, reasons]) => reasons !== '').map(([id]) => id);
    expect(heldOf(ended)).toEqual([]);
    const once = ended.map((sheet, k) => (k === 12 ? lossy(sheet) : sheet));
    expect(heldOf(once)).toEqual([once[12]?.testId]);
  });

  it('leaves a light piece of an item bought in a wide range to the review, but not a fifth of the usual one', () => {
    const wide = wideSheets(honest);
    const reasonsAt = (lb: number): string | undefined =>
      reasonsOf(wide.map((sheet, i) => (i === 5 ? weighing(sheet, lb) : sheet))).get(
        (wide[5] as PlainSheet).testId,
      );
    expect([5.5, 2.5, 40].map(reasonsAt)).toEqual(['', 'weight-out-of-range', 'weight-out-of-range']);
  });

  it('holds a piece 2.2 times off the usual weight, an unknown method, an unknown purge and a missing main line', () => {
    const heavy = (sheet: PlainSheet): PlainSheet => ({
      ...sheet,
      received: sheet.received * 3,
      lines: Object.fromEntries(Object.entries(sheet.lines).map(([name, lb]) => [name, lb * 3])),
    });
    expect(spoiled(5, heavy)).toBe('weight-out-of-range');
    const id = (honest[5] as PlainSheet).testId;
    const changed = (change: object) => (row: Record<string, unknown>) =>
      row['testId'] === id ? change : {};
    expect(reasonsOf(honest, changed({ method: 'other' })).get(id)).toBe('method-unknown');
    expect(reasonsOf(honest, changed({ weighed: 'in-bag' })).get(id)).toBe('purge-unknown');
    expect(reasonsOf(honest, changed({ weighed: '' })).get(id)).toBe('purge-unknown');
    const { steak: _, ...rest } = (honest[5] as PlainSheet).lines;
    expect(spoiled(5, (sheet) => ({ ...sheet, lines: rest }))?.split(';')).toContain('line-missing');
    expect(spoiled(5, (sheet) => ({ ...sheet, lines: { ...sheet.lines, waste: Number.NaN } }))).toBe(
      'line-missing',
    );
  });

  it('holds every later copy of the same weights by one cutter, whatever the order of rows', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 0, max: 39 }), (copies, at) => {
        const original = honest[at] as PlainSheet;
        const sheets = [
          ...Array.from({ length: copies }, (_, k) => ({
            ...original,
            testId: `copy${k}`,
            day: original.day + 1 + k,
          })),
          ...honest,
        ];
        const held = [...reasonsOf(sheets)].filter(([, reasons]) => reasons === 'duplicate-test');
        expect(held.map(([testId]) => testId)).toEqual(Array.from({ length: copies }, (_, k) => `copy${k}`));
        expect(
          reasonsOf(
            sheets.map((sheet) => (sheet.testId.startsWith('copy') ? { ...sheet, cutter: 'other' } : sheet)),
          ).get('copy0'),
        ).toBe('');
      }),
      { numRuns: 10, seed: 3 },
    );
  });

  it('takes a night without tests', () => {
    expect(screen(normalizedSheets([]), tinyChain).tests.numRows()).toBe(0);
  });
});
