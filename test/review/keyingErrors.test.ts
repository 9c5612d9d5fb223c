import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keyingErrors } from '../../src/review/keyingErrors.ts';
import { restoredSheet, type Sheet } from '../../src/review/sheet.ts';

const sheet: Sheet = {
  receivedKg: 6,
  purgeKg: 0.1,
  billedKg: 6.02,
  isInBag: true,
  linesKg: Float64Array.from([4, 1, 0.8]),
};

describe('keyingErrors', () => {
  it('makes about one sheet in a hundred wrong, however many lines it has', () => {
    for (const unit of ['lb', 'kg', 'oz', 'g', 'lb-oz'])
      for (const k of [2, 6, 12]) {
        const total = keyingErrors(unit, k).reduce((sum, error) => sum + Math.exp(error.logPrior), 0);
        expect(total).toBeGreaterThan(0.01);
        expect(total).toBeLessThan(0.015);
      }
  });

  it('knows the factors of a sheet in lb: kg, oz, g, and lb converted once more', () => {
    const factors = keyingErrors('lb', 3)
      .filter((error) => error.cause === 'test-unit')
      .map((error) => [error.unit, error.received] as const);
    expect(factors).toEqual([
      ['kg', expect.closeTo(2.20462262, 8)],
      ['oz', 1 / 16],
      ['g', expect.closeTo(0.00220462, 8)],
      ['lb, converted once more', 0.45359237],
    ]);
  });

  it('has a swap for every pair of lines, a weight moved for each way round, and neither on a sheet of one line', () => {
    const countOf = (k: number, cause: string): number =>
      keyingErrors('lb', k).filter((error) => error.cause === cause).length;
    expect([countOf(4, 'lines-swapped'), countOf(4, 'line-moved')]).toEqual([6, 12]);
    expect([countOf(1, 'lines-swapped'), countOf(1, 'line-moved')]).toEqual([0, 0]);
  });
});

describe('restoredSheet', () => {
  const undoable = keyingErrors('lb', 3).filter(
    (error) => error.unknown < 0 && error.movedTo < 0 && !error.isReceivedUnknown,
  );

  it('undoes a mistake made by its own factors', () => {
    fc.assert(
      fc.property(fc.constantFrom(...undoable), (error) => {
        const inverse = {
          ...error,
          received: 1 / error.received,
          purge: 1 / error.purge,
          lines: 1 / error.lines,
          lineFactor: 1 / error.lineFactor,
        };
        const back = restoredSheet(restoredSheet(sheet, inverse), error);
        expect([back.receivedKg, back.purgeKg]).toEqual([expect.closeTo(6, 9), expect.closeTo(0.1, 9)]);
        expect([...back.linesKg]).toEqual([4, 1, 0.8].map((kg) => expect.closeTo(kg, 9)));
      }),
    );
  });

  it('takes an invoice weight with the mistake or without, whichever is nearer to what came in', () => {
    const inKg = undoable.find((error) => error.cause === 'test-unit' && error.unit === 'kg');
    if (inKg === undefined) throw new Error('no such mistake');
    const spoiled = { ...sheet, receivedKg: 6 / inKg.received };
    expect(restoredSheet(spoiled, inKg).billedKg).toBeCloseTo(6.02, 9);
    expect(restoredSheet({ ...spoiled, billedKg: 6.02 / inKg.received }, inKg).billedKg).toBeCloseTo(6.02, 9);
  });
});
