import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { sentTests } from './sentTests.ts';

const setting = {
  chain: readChain('test/cases/pollution', diskFileSystem),
  ...readSentSchemas(diskFileSystem),
  asOfDay: dayFromIso('2026-11-23'),
};
/** Column names, test 00037 in lines 2 to 5, test 00074 in lines 6 to 9. */
const lines = readFileSync('test/cases/pollution/clean.csv', 'utf8').trimEnd().split('\n').slice(0, 9);
/** What is said of rows that differ when some lines are changed; all rows of the test are given back. */
const saidOf = (changes: Record<number, [string, string]>): unknown[] => {
  const own = lines.map((line, i) => {
    const change = changes[i + 1];
    return change === undefined ? line : line.replace(...change);
  });
  const read = delivered({ path: 'inbox/a.csv', bytes: Buffer.from(`${own.join('\n')}\n`) }, setting);
  expect(sentTests(read.versions).map(({ test }) => test.testId)).toEqual(['00074']);
  expect(read.givenBack.map((row) => row.sourceLine)).toEqual([2, 3, 4, 5]);
  return read.rejects
    .filter((one) => one.code === 'test-fields-differ')
    .map((one) => [one.sourceLine, one.field, one.found, one.expected]);
};

describe('rows of one test that disagree about it', () => {
  it('are wrong where they are the fewer, also in the first row', () => {
    expect(saidOf({ 2: ['c-0101', 'c-0110'] })).toEqual([
      [2, 'cutter', 'c-0110', '"c-0101" as in 3 of the 4 rows of the test'],
    ]);
    expect(saidOf({ 3: ['2026-02-06', '2026-02-16'] })).toEqual([
      [3, 'cut_date', '2026-02-16', '"2026-02-06" as in 3 of the 4 rows of the test'],
    ]);
    expect(saidOf({ 3: ['12.75,12.75', '12.75,12.57'], 5: ['L2601', ''] })).toEqual([
      [3, 'received_weight', '12.57', '"12.75" as in 3 of the 4 rows of the test'],
      [5, 'lot', '', '"L2601" as in 3 of the 4 rows of the test'],
    ]);
  });
  it('are all named, with what each says, where neither is the more frequent', () => {
    const both = 'the same in all rows of the test, which say "c-0110" from line 2, "c-0101" from line 4';
    expect(saidOf({ 2: ['c-0101', 'c-0110'], 3: ['c-0101', 'c-0110'] })).toEqual([
      [2, 'cutter', 'c-0110', both],
      [3, 'cutter', 'c-0110', both],
      [4, 'cutter', 'c-0101', both],
      [5, 'cutter', 'c-0101', both],
    ]);
    expect(saidOf({ 4: ['L2601', ''], 5: ['L2601', ''] })[0]).toEqual([
      2,
      'lot',
      'L2601',
      'the same in all rows of the test, which say "L2601" from line 2, blank from line 4',
    ]);
  });
  it('are told in a line each, however many there are', () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => (lines[1] as string).replace('c-0101', `c-${i}`));
    const text = `${[lines[0], ...rows].join('\n')}\n`;
    const { rejects } = delivered({ path: 'inbox/a.csv', bytes: Buffer.from(text) }, setting);
    const differing = rejects.filter((one) => one.code === 'test-fields-differ');
    expect(differing).toHaveLength(rows.length);
    expect(differing.at(-1)?.expected.endsWith('"c-2" from line 4 and more')).toBe(true);
  });
  it('are that before they are outputs that stand twice, as two tests of one id are', () => {
    const other = lines.slice(1, 4).map((line) => line.replace('c-0101', 'c-0110'));
    const text = `${[...lines.slice(0, 5), ...other].join('\n')}\n`;
    const { rejects } = delivered({ path: 'inbox/a.csv', bytes: Buffer.from(text) }, setting);
    const first = rejects.find((one) => one.sourceLine === 6);
    expect(first).toMatchObject({ code: 'test-fields-differ', field: 'cutter', found: 'c-0110' });
    expect(first?.expected).toBe('"c-0101" as in 4 of the 7 rows of the test');
  });
});
