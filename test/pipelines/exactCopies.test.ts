import { describe, expect, it } from 'vitest';
import { check } from '../../pipelines/check.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { cleanText, figuresOf, intakeOf, newChainFolder, nightOf, rowsOfTest, sheet } from './chainFolder.ts';

type Night = ReturnType<typeof nightOf>;
const addsUp = ({ intake }: Night): boolean =>
  intake.every(
    (row) =>
      row.rowsRead === row.accepted + row.rejected + row.blank + row.ignored + row.duplicate + row.superseded,
  );
const truth = figuresOf(intakeOf(newChainFolder({ 'clean.csv': cleanText })));

describe('a test that stands in one file twice', () => {
  it('is one, and the rows of the copy count as duplicate', () => {
    const folder = newChainFolder({ 'a.csv': `${cleanText}${sheet(rowsOfTest('00037'))}` });
    for (const night of [nightOf(folder), nightOf(folder)]) {
      expect(figuresOf(night)).toBe(truth);
      expect([night.intake[0]?.accepted, night.intake[0]?.duplicate, night.rejects]).toEqual([96, 4, []]);
      expect(addsUp(night)).toBe(true);
      const tests = rowsOf<{ testId: string; sourceLine: number }>(night.night.tests);
      expect(tests.find((test) => test.testId === '00037')).toMatchObject({ sourceLine: 2 });
    }
    const without = nightOf(folder, { chain: { withdraw: [{ store: 's-002', test_id: '00037' }] } });
    expect([without.night.tests.numRows(), addsUp(without)]).toEqual([23, true]);
    const setting = { chainFolder: folder, chain: readChain(folder, diskFileSystem), fs: diskFileSystem };
    const files = [{ place: `${folder}/inbox/a.csv`, path: 'a.csv' }];
    expect(check(files, { ...setting, asOfDay: dayFromIso('2026-11-23') })[0]?.tests).toBe(24);
  });

  const pieces = (...rows: string[]): string =>
    ['store,test_id,output,piece,weight,unit', ...rows.map((row) => `s-002,00037,ribeye steak,${row},lb`)]
      .join('\n')
      .concat('\n');
  it('holds the portions of it once where its pieces are numbered', () => {
    const own = ['1,0.75', '01,0.75', '3,0.8'];
    const folder = newChainFolder({ 'a.csv': cleanText, 'p.csv': pieces(...own, ...own) });
    for (const night of [nightOf(folder), nightOf(folder)]) {
      expect(night.night.portions.numRows()).toBe(3);
      expect(addsUp(night)).toBe(true);
      expect([night.intake[1]?.accepted, night.intake[1]?.duplicate, night.rejects]).toEqual([3, 3, []]);
    }
  });
  it('is refused where two pieces of one number could be two pieces', () => {
    for (const own of [
      ['1,0.75', '1,0.75'],
      ['1,0.75', '2,0.75', '1,0.75', '2,0.8'],
    ]) {
      const night = nightOf(newChainFolder({ 'a.csv': cleanText, 'p.csv': pieces(...own) }));
      expect(night.night.portions.numRows()).toBe(0);
      expect(night.rejects.map((one) => one.code)).toContain('piece-repeated');
      expect(addsUp(night)).toBe(true);
    }
  });
});
