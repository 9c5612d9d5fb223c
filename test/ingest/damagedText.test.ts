import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { damagedText } from '../../src/ingest/damagedText.ts';

describe('damagedText', () => {
  it('knows what spreadsheets and wrong encodings make of texts', () => {
    const damaged = [
      '="007"',
      '#REF!',
      '#N/A',
      '####',
      '1.23457E+11',
      '2-Mar',
      'Mar-02',
      "'007",
      '\u201cNorth\u201d',
      'SeÃ±al',
      'nan',
      'NULL',
      'undefined',
      'Hart &amp; Vale',
      'Se&ntilde;al',
      'North%20Room',
      'Se\\u00f1al',
      'Â£',
    ];
    for (const text of damaged) expect(damagedText(text, 'store'), text).not.toBe('');
  });
  it('leaves names, codes and lots as they are', () => {
    const sound = [
      's-001',
      '00037',
      '112A',
      '0x1',
      '3-2',
      "O'Neill Meats",
      "'t Vleeshuys",
      'L2601',
      '12E4',
      'Señal',
      'Nan',
      'none',
      'Null',
      'Hart & Vale',
      '50% lean',
      'Ångström & Søn',
      '5"',
      '',
    ];
    for (const text of sound) expect(damagedText(text, 'store'), text).toBe('');
    expect(damagedText('MAR-26', 'lot')).toBe('');
  });
  it('doubts no text of letters and hyphens that is no month', () => {
    const text = fc.stringMatching(/^[b-z]{4,9}(?:-[a-z]{2,9})?$/);
    fc.assert(fc.property(text, (own) => damagedText(own, 'store') === ''));
  });
});
