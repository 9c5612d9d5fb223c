import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { column, type ResultsFile, writtenFile } from '../../../src/publish/results/resultsFile.ts';
import { kgPerLb } from '../../../src/units/weight.ts';

type Row = { name: string; kg: number; perKg: number; share: number; isKnown: boolean };
const file: ResultsFile<Row> = {
  name: 'pieces',
  description: 'Pieces.',
  key: ['name'],
  columns: [
    column.text('name', 'name of the piece', (row) => row.name),
    column.number('weight', 'weight', 'weight of the piece', (row) => row.kg),
    column.number('price', 'money/weight', 'price', (row) => row.perKg),
    column.number('share', 'fraction', 'share', (row) => row.share),
    column.truth('known', 'whether it is known', (row) => row.isKnown),
  ],
};
const pounds = { unit: 'lb', unitKg: kgPerLb, currency: 'USD' };
const row: Row = { name: 'a', kg: kgPerLb, perKg: 10 / kgPerLb, share: Number.NaN, isKnown: true };

describe('writtenFile', () => {
  it("prints weights and prices in the chain's unit, missing numbers as empty cells, lines ended by CRLF", () => {
    expect(writtenFile(file, [row], pounds).text).toBe('name,weight,price,share,known\r\na,1,10,,true\r\n');
    const kilograms = { unit: 'kg', unitKg: 1, currency: 'EUR' };
    expect(writtenFile(file, [row], kilograms).text).toContain(`a,${kgPerLb},${10 / kgPerLb},`);
  });

  it('describes each column by type, unit and meaning, and the key', () => {
    expect(writtenFile(file, [], pounds).resource).toMatchObject({
      name: 'pieces',
      path: 'pieces.csv',
      schema: {
        primaryKey: ['name'],
        missingValues: [],
        fields: [
          { name: 'name', type: 'string', description: 'name of the piece' },
          { name: 'weight', type: 'number', unit: 'lb', missingValues: [''] },
          { name: 'price', type: 'number', unit: 'USD/lb' },
          { name: 'share', type: 'number', unit: 'fraction' },
          { name: 'known', type: 'boolean' },
        ],
      },
    });
  });

  it('gives every text and every digit back to a CSV reader', () => {
    const drawn = fc.record({
      name: fc.string({ unit: 'grapheme' }),
      kg: fc.double({ noNaN: true, noDefaultInfinity: true }),
    });
    fc.assert(
      fc.property(fc.array(drawn, { maxLength: 5 }), (rows) => {
        const { text } = writtenFile(
          file,
          rows.map((own) => ({ ...row, ...own })),
          { ...pounds, unitKg: 1 },
        );
        const back = parse(text, { columns: true, record_delimiter: '\r\n' }) as Record<string, string>[];
        expect(back.map((own) => own['name'])).toEqual(rows.map((own) => own.name));
        for (const [i, own] of back.entries())
          expect(Number(own['weight'])).toBe(Number(String(rows[i]?.kg)));
      }),
    );
  });
});
