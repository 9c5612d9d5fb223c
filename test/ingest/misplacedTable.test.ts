import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';

const schemas = readSentSchemas(diskFileSystem);
const chain = readChain('test/cases/pollution', diskFileSystem);
const told = (text: string, sender: object = {}) => {
  const { rejects, table, givenBack } = delivered(
    { path: 'inbox/a.csv', bytes: Buffer.from(text) },
    { chain: { ...chain, senders: [{ ...senderOf('', []), ...sender }] }, ...schemas, asOfDay: 20_780 },
  );
  return {
    code: rejects[0]?.code,
    expected: rejects[0]?.expected,
    stores: table.stores,
    rows: givenBack.length,
  };
};
const tables = schemas.tables.map(({ name }) => name);
const columnsOf = (name: string, pick: (isRequired: boolean) => boolean): string[] =>
  schemas.tables
    .find((one) => one.name === name)
    ?.fields.filter((field) => pick(field.constraints?.required === true))
    .map((field) => field.name) ?? [];

describe('a reference table in the inbox', () => {
  it.each(tables)('is named with its place, nothing taken and no store blamed: %s', (name) => {
    const place = {
      code: 'table-misplaced',
      expected: `cutting tests or portions; a table of ${name} belongs in reference/${name}.csv`,
      stores: [],
      rows: 0,
    };
    for (const columns of [columnsOf(name, () => true), columnsOf(name, (isRequired) => isRequired)]) {
      const row = columns.map((column) => (column === 'store' ? 's-1' : '1'));
      expect(told(`${columns.join(',')}\n${row.join(',')}\n`)).toEqual(place);
      expect(told(`${columns.join(';').toUpperCase()}\r\n${row.join(';')}\r\n`, { layout: 'wide' })).toEqual(
        place,
      );
    }
    // also where a column that it must have is missing
    const short = columnsOf(name, () => true).filter(
      (column) => column !== 'valid_from' && column !== 'coached_on',
    );
    expect(told(`${short.join(',')}\n`)).toEqual(place);
  });

  it("is the sample chain's own, told by its first line", () => {
    for (const name of tables)
      expect(told(readFileSync(`sample-data/reference/${name}.csv`, 'utf8')).expected).toContain(
        `reference/${name}.csv`,
      );
  });

  it('is not taken for what is a sheet of tests or of portions with a column missing', () => {
    const header = readFileSync('test/cases/pollution/clean.csv', 'utf8').split('\n')[0] as string;
    for (const missing of header.split(','))
      expect(
        told(
          `${header
            .split(',')
            .filter((name) => name !== missing)
            .join(',')}\n`,
        ).code,
      ).not.toBe('table-misplaced');
    const portions = schemas.portions.map((field) => field.name);
    for (const missing of portions)
      expect(told(`${portions.filter((name) => name !== missing).join(',')}\n`).code).not.toBe(
        'table-misplaced',
      );
    expect(told('store,cutter,cut_date\ns,c,2026-01-02\n').code).toBe('column-missing');
  });
});
