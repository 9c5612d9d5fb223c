import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import type { LedgerEntry } from '../../src/lake/ledger.ts';
import { type LakePortion, portionsInForce } from '../../src/lake/portionsInForce.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import { ledgerEntry } from './ledgerEntry.ts';

const chain = readChain('sample-data', diskFileSystem);
const file = (batch: string, firstSeenDay: number, modifiedMs = 0): LedgerEntry =>
  ledgerEntry(batch, firstSeenDay, { modifiedMs });
const piece = (batch: string, testId: string, number: string, weightKg: number): LakePortion => ({
  store: 's',
  testId,
  output: 'strip steak',
  piece: number,
  weightKg,
  thicknessIn: Number.NaN,
  sourceFile: `inbox/${batch}.csv`,
  sourceLine: 2,
  byteOffset: 61,
  batch,
});
const inForce = (rows: LakePortion[], files: LedgerEntry[], tests = ['s\u0000T1', 's\u0000T2']) =>
  portionsInForce(rows, files, { chain, testsInForce: new Set(tests) });

describe('portionsInForce', () => {
  it('takes the file seen later whole and counts the other as superseded', () => {
    const found = inForce(
      [piece('a', 'T1', '1', 0.4), piece('a', 'T1', '2', 0.41), piece('b', 'T1', '1', 0.39)],
      [file('a', 10), file('b', 11)],
    );
    expect(rowsOf<LakePortion>(found.portions).map((row) => row.weightKg)).toEqual([0.39]);
    expect([...found.accepted, ...found.superseded]).toEqual([
      ['b', 1],
      ['a', 2],
    ]);
  });

  it('holds both of two files of the same time that differ; takes one of two that agree', () => {
    const rows = [piece('a', 'T1', '1', 0.4), piece('b', 'T1', '1', 0.39)];
    const differ = inForce(rows, [file('a', 10), file('b', 10)]);
    expect(differ.portions.numRows()).toBe(0);
    expect(differ.rejects.map((reject) => [reject.code, reject.sourceLine, reject.byteOffset])).toEqual([
      ['conflicting-versions', 2, 61],
      ['conflicting-versions', 2, 61],
    ]);
    const agree = inForce(
      [piece('a', 'T1', '1', 0.4), piece('b', 'T1', '1', 0.4)],
      [file('a', 10), file('b', 10)],
    );
    expect(agree.portions.numRows()).toBe(1);
    expect([...agree.duplicate]).toEqual([['b', 1]]);
    const again = inForce(
      [piece('a', 'T1', '1', 0.4), piece('b', 'T1', '1', 0.4)],
      [file('a', 10), file('b', 12)],
    );
    expect(rowsOf<LakePortion>(again.portions)[0]?.sourceFile).toBe('inbox/a.csv');
    expect([...again.duplicate, ...again.superseded]).toEqual([['b', 1]]);
  });

  it('keeps portions of a test that has not come yet out of the night, yet accepts their rows', () => {
    const found = inForce([piece('a', 'T9', '1', 0.4)], [file('a', 10)]);
    expect(found.portions.numRows()).toBe(0);
    expect(found.accepted.get('a')).toBe(1);
  });

  it('accounts for every row and does not depend on the order of rows', () => {
    const rows = fc.array(
      fc.record({
        batch: fc.constantFrom('a', 'b', 'c'),
        test: fc.constantFrom('T1', 'T2', 'T3'),
        number: fc.integer({ min: 1, max: 4 }),
        kg: fc.constantFrom(0.3, 0.4),
      }),
      { maxLength: 30 },
    );
    const files = [file('a', 10), file('b', 10), file('c', 12)];
    fc.assert(
      fc.property(rows, (drawn) => {
        const unique = new Map(drawn.map((row) => [`${row.batch}${row.test}${row.number}`, row]));
        const pieces = [...unique.values()].map((row) =>
          piece(row.batch, row.test, String(row.number), row.kg),
        );
        const found = inForce(pieces, files);
        const counts = [found.accepted, found.duplicate, found.superseded, found.conflicting];
        const total = counts.flatMap((own) => [...own]).reduce((sum, [, count]) => sum + count, 0);
        expect(total).toBe(pieces.length);
        const turned = inForce([...pieces].reverse(), files);
        expect(rowsOf(turned.portions)).toEqual(rowsOf(found.portions));
      }),
    );
  });
});
