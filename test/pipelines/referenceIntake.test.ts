import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { check } from '../../pipelines/check.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { cleanText, newChainFolder, nightOf, put } from './chainFolder.ts';

const stores = 'store,name,region\ns-002,Two,North\ns-014,Fourteen,Süd\n';
const prices = 'output,price,unit,valid_from,kind,region\nfat,0.5,lb,2025-01-01,regular,\n';
const tables = {
  stores,
  prices: `${prices}fat,0.6,lb,2025-01-01,regular,Noth\nfat,0.7,lb,2025-01-01,regular,Süd\n`,
  volumes:
    'store,item,week_of,weight,unit\ns-014,112A,2026-11-16,200,lb\ns-14,112A,2026-11-16,200,lb\nelsewhere,112A,2026-11-16,9,lb\n',
  cutters: 'cutter,store\nc-1,\nc-2,s-002\nc-3,S-002\n',
  standards:
    'item,method,output,yield,valid_from\n112A,WHOLE  steaks,fat,0.1,2025-01-01\n112A,whole stakes,fat,0.1,2025-01-01\n',
  coaching:
    'cutter,habit,coached_on,by\nc-1,,2026-10-01,a\nc-1,over-trimming,2026-10-01,a\nc-1,over-triming,2026-10-02,a\nc-1,the lip,2026-10-03,a\n',
};
const folderWith = (given: Record<string, string>): string => {
  const folder = newChainFolder({ 'clean.csv': cleanText });
  for (const [table, text] of Object.entries(given)) put(folder, `reference/${table}.csv`, text);
  return folder;
};
const told = (reject: { code: string; sourceFile: string; sourceLine: number; found: string }): string =>
  `${reject.sourceFile.slice('reference/'.length)} ${reject.sourceLine} ${reject.code} ${reject.found}`;

describe('names in reference tables', () => {
  it('that nothing else knows are refused with file, line, byte, field and what may be meant', () => {
    const folder = folderWith(tables);
    const { night, rejects } = nightOf(folder);
    expect(rejects.map(told)).toEqual([
      'coaching.csv 4 habit-unknown over-triming',
      'cutters.csv 4 store-unknown S-002',
      'prices.csv 3 region-unknown Noth',
      'standards.csv 3 method-unknown whole stakes',
      'volumes.csv 3 store-unknown s-14',
      'volumes.csv 4 store-unknown elsewhere',
    ]);
    expect(rejects.map((reject) => reject.expected)).toEqual([
      'a known habit; is "over-trimming" meant?',
      'a known store; is "s-002" meant?',
      'a known region; is "North" meant?',
      'a known method; is "whole steaks" meant?',
      'a known store; is "s-014" meant?',
      'a known store',
    ]);
    for (const { sourceFile, sourceLine, byteOffset, field } of rejects) {
      const text = tables[sourceFile.slice('reference/'.length, -'.csv'.length) as keyof typeof tables];
      const above = Buffer.from(text).subarray(0, byteOffset).toString();
      expect(above).toBe(
        text
          .split('\n')
          .slice(0, sourceLine - 1)
          .map((line) => `${line}\n`)
          .join(''),
      );
      expect(text.split('\n')[0]).toContain(field);
    }
    const { reference } = night;
    expect(reference.prices.map((row) => row.region)).toEqual(['', 'Süd']);
    expect(reference.volumes.map((row) => row.store)).toEqual(['s-014']);
    expect(reference.cutters.map((row) => row.cutter)).toEqual(['c-1', 'c-2']);
    expect(reference.standards.map((row) => row.method)).toEqual(['whole steaks']);
    expect(reference.coaching.map((row) => row.habit)).toEqual(['', 'over-trimming', 'the lip']);
  });

  it('are not held against a stores table that was not read whole', () => {
    const { rejects } = nightOf(folderWith({ ...tables, stores: `${stores}s-14,Other\n` }));
    expect(rejects.map(told).filter((text) => /^(?:stores|volumes|prices|cutters)/.test(text))).toEqual([
      'stores.csv 4 cell-count 2 cells',
    ]);
  });

  it('of stores are free where no stores table is sent; a region is then nobody’s', () => {
    const { stores: _, ...rest } = tables;
    expect(nightOf(folderWith(rest)).rejects.map(told)).toEqual([
      'coaching.csv 4 habit-unknown over-triming',
      'prices.csv 3 region-unknown Noth',
      'prices.csv 4 region-unknown Süd',
      'standards.csv 3 method-unknown whole stakes',
    ]);
  });

  it('are found by a check of one table too', () => {
    const chainFolder = folderWith(tables);
    const checked = (path: string) =>
      check([{ place: join(chainFolder, path), path }], {
        chainFolder,
        chain: readChain(chainFolder, diskFileSystem),
        fs: diskFileSystem,
        asOfDay: dayFromIso('2026-11-23'),
      }).flatMap((one) => one.rejects.map(told));
    expect(checked('reference/volumes.csv')).toEqual([
      'volumes.csv 3 store-unknown s-14',
      'volumes.csv 4 store-unknown elsewhere',
    ]);
    expect(checked('reference/stores.csv')).toEqual([]);
  });
});

describe('rows of a reference table', () => {
  const rowsOf = (table: string, ...rows: string[]): string => `${[table, ...rows].join('\n')}\n`;
  it('that tell different things of the same are all refused, each naming another; the same twice is one', () => {
    const volumes = rowsOf(
      'store,item,week_of,weight,unit',
      's-002,112A,2026-11-16,200,lb',
      's-002,112A,2026-11-16,200,lb',
      's-002,ribeye,2026-11-09,200,lb',
      's-002,112A,2026-11-09,260,lb',
    );
    const coaching = rowsOf('cutter,habit,coached_on,by', 'c-1,,2026-10-01,a', 'c-1,,2026-10-01,a');
    const { night, rejects } = nightOf(folderWith({ volumes, coaching }));
    expect(night.reference.volumes.map((row) => row.weightKg)).toEqual([200 * 0.45359237]);
    expect(night.reference.coaching).toHaveLength(1);
    const repeated = { code: 'row-repeated', sourceFile: 'reference/volumes.csv', field: 'weight' };
    expect(rejects).toMatchObject([
      { ...repeated, sourceLine: 4, found: '200', expected: 'one row for it; line 5 says 260' },
      { ...repeated, sourceLine: 5, found: '260', expected: 'one row for it; line 4 says 200' },
    ]);
  });
  it('are read without who coached, which a sheet may leave out or blank', () => {
    for (const coaching of [
      rowsOf('cutter,coached_on', 'c-1,2026-10-01'),
      rowsOf('cutter,coached_on,by', 'c-1,2026-10-01,'),
    ]) {
      const { night, rejects } = nightOf(folderWith({ coaching }));
      expect(rejects).toEqual([]);
      expect(night.reference.coaching).toMatchObject([{ cutter: 'c-1', by: '' }]);
    }
  });
  it('that end before they begin, or are below nothing, are refused', () => {
    const dated = rowsOf(
      'output,price,unit,valid_from,valid_to,kind',
      'fat,0.5,lb,2025-05-01,2025-04-30,regular',
      'bone,0.1,lb,2025-05-01,2025-05-01,regular',
    );
    const below = rowsOf('store,name,region,scale_division,tests_owed_per_week', 's-002,Two,North,-0.02,-3');
    const { night, rejects } = nightOf(folderWith({ prices: dated, stores: below }));
    expect(night.reference.prices.map((row) => row.output)).toEqual(['bone']);
    expect(rejects.map((one) => [one.code, one.sourceLine, one.field, one.found, one.expected])).toEqual([
      ['dates-reversed', 2, 'valid_to', '2025-04-30', 'a day from 2025-05-01 on'],
      ['number-out-of-range', 2, 'scale_division', '-0.02', 'more than 0'],
      ['number-out-of-range', 2, 'tests_owed_per_week', '-3', 'at least 0'],
    ]);
  });
  it('of a cutter with two names are refused, also of two stores; one name in two stores is a move', () => {
    const cutters = rowsOf(
      'cutter,name,store,since',
      'c-1,Ann Able,s-002,2025-01-01',
      'c-1,Bea Bold,s-014,2025-01-01',
      'c-2,Cy Cole,s-002,2025-01-01',
      'c-2,cy  cole,s-014,2026-01-01',
      'c-3,,s-002,',
      'c-3,Di Dorn,s-014,',
    );
    const { night, rejects } = nightOf(folderWith({ cutters, stores }));
    expect(night.reference.cutters.map((row) => `${row.cutter} ${row.store}`)).toEqual([
      'c-2 s-002',
      'c-2 s-014',
      'c-3 s-002',
      'c-3 s-014',
    ]);
    const twice = { code: 'cutter-named-twice', sourceFile: 'reference/cutters.csv', field: 'name' };
    expect(rejects).toMatchObject([
      { ...twice, sourceLine: 2, found: 'Ann Able', expected: 'one name for c-1; line 3 says "Bea Bold"' },
      { ...twice, sourceLine: 3, found: 'Bea Bold', expected: 'one name for c-1; line 2 says "Ann Able"' },
    ]);
    expect(nightOf(folderWith({ cutters }), { chain: { removed_cutters: ['c-1'] } }).rejects).toEqual([]);
  });
  it('of removed cutters are told of nobody, not even where they are wrong', () => {
    const coaching = rowsOf(
      'cutter,habit,coached_on,by',
      'c-1,over-triming,2026-10-01,a',
      'c-2,,2026-10-01,a',
    );
    const { night, rejects } = nightOf(folderWith({ coaching }), { chain: { removed_cutters: ['c-1'] } });
    expect([night.reference.coaching.map((row) => row.cutter), rejects]).toEqual([['c-2'], []]);
  });
});
