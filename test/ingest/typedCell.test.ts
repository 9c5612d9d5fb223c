import { describe, expect, it } from 'vitest';
import type { SchemaField } from '../../src/ingest/ingested.ts';
import { typedCell } from '../../src/ingest/typedCell.ts';

const field = (type: SchemaField['type']): SchemaField => ({
  name: 'output_weight',
  type,
  constraints: { required: true },
});
const read = (text: string, decimal: '.' | ',' = '.', type: SchemaField['type'] = 'number') =>
  typedCell(text, field(type), {
    formats: { decimal, dates: 'ymd', isMixed: false },
    asOfDay: 20_000,
    unit: 'kg',
  });

describe('typedCell', () => {
  it('reads every decimal of a number that a program wrote in full', () => {
    for (const value of [0.1 + 0.2, 0.30150000000000005, 1 / 3, 0.0030150000000000003])
      for (const decimal of ['.', ','] as const)
        expect(read(String(value).replace('.', decimal), decimal)).toEqual({ value });
    expect(read('1e-7')).toMatchObject({ code: 'number-invalid' });
  });

  it('takes spaces in a text that look like one for one, but leaves a note as it is', () => {
    const supplier = (text: string, name = 'supplier') =>
      typedCell(
        text,
        { name, type: 'string' },
        { formats: { decimal: '.', dates: 'ymd', isMixed: false }, asOfDay: 20_000, unit: 'kg' },
      );
    for (const text of ['Mill\u00a0Meats', ' Mill  Meats ', 'Mill\u202f\u00a0Meats', 'Mill \u2003Meats'])
      expect(supplier(text)).toEqual({ value: 'Mill Meats' });
    expect(supplier('a\u00a0 b', 'note')).toEqual({ value: 'a\u00a0 b' });
    expect(supplier('a\tb')).toMatchObject({ code: 'control-character' });
  });

  it('says what a blank cell should hold in words of the trade, not of a program', () => {
    const expected = (['string', 'number', 'integer', 'date'] as const).map((type) => read('', '.', type));
    expect(expected).toEqual(
      ['a text', 'a number', 'a whole number', 'a date'].map((what) => ({
        code: 'value-missing',
        expected: `${what} in output_weight`,
      })),
    );
  });
});
