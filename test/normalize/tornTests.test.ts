import { readFileSync } from 'node:fs';
import fc from 'fast-check';
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
const lines = readFileSync('test/cases/pollution/clean.csv', 'utf8').trimEnd().split('\n');
const read = (own: readonly string[]) =>
  delivered({ path: 'inbox/a.csv', bytes: new TextEncoder().encode(`${own.join('\n')}\n`) }, setting);
const ids = (own: ReturnType<typeof read>): string[] =>
  sentTests(own.versions).map((version) => version.test.testId);

describe('tornTests', () => {
  it('holds a test back with the row that a slip in its key tore off, and says what was meant', () => {
    const own = read(lines.slice(0, 9).map((line, i) => (i === 3 ? line.replace('00037', '37') : line)));
    expect(ids(own)).toEqual(['00074']);
    expect(own.rejects[0]).toMatchObject({ code: 'test-held-back', sourceLine: 2 });
    expect(own.rejects.find((one) => one.code === 'test-fields-differ')).toMatchObject({
      sourceLine: 4,
      field: 'test_id',
      found: '37',
      expected: '"00037" as in the rows beside it, if it is their test',
    });
    expect(own.givenBack).toHaveLength(4);
  });
  it('takes two tests that are alike but for their id when both have the same outputs', () => {
    const twin = lines.slice(1, 5).map((line) => line.replace('00037', '00038'));
    expect(ids(read([...lines.slice(0, 5), ...twin]))).toEqual(['00037', '00038']);
  });
  it('never takes a test without one of its rows, whichever row slips and whatever its id becomes', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 96 }), fc.stringMatching(/^[0-9]{1,6}$/), (row, id) => {
        const own = read(lines.map((line, i) => (i === row ? line.replace(/^\d+/, id) : line)));
        for (const { test, outputs } of sentTests(own.versions))
          expect([test.testId, outputs.length]).toEqual([test.testId, 4]);
      }),
      { numRuns: 60 },
    );
  });
});
