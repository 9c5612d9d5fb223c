import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { cleanText, contentsBelow, figuresOf, newChainFolder, nightOf, put } from './chainFolder.ts';

const others = (digits: string): string => cleanText.replaceAll(/^00/gm, digits);
const told = (night: ReturnType<typeof nightOf>) => [
  figuresOf(night),
  night.night.reference,
  night.intake,
  night.rejects,
];

describe('a past day run again', () => {
  it('takes in nothing that came later, says what it leaves, and the next night takes that as of its own day', () => {
    const folder = newChainFolder({ 'a.csv': cleanText });
    const then = told(nightOf(folder, { asOf: '2026-11-01' }));
    put(folder, 'inbox/b.csv', others('77'));
    put(folder, 'reference/stores.csv', 'store,name,region\ns-002,Two,North\n');
    nightOf(folder, { asOf: '2026-11-10' });
    put(folder, 'inbox/a.csv', cleanText.replaceAll('12.75,12.75', '12.75,12.70'), 1_700_000_100);
    put(folder, 'inbox/c.csv', others('88'));
    put(folder, 'reference/coaching.csv', 'cutter,coached_on,by\nc-0101,2026-09-01,R. Alder\n');
    put(folder, 'reference/prices.csv', 'output,price,unit,valid_from,kind\nfat,x,lb,2025-01-01,regular\n');
    const before = contentsBelow(folder);
    for (const asOf of ['2026-11-01', '2026-11-09']) {
      const rerun = nightOf(folder, { asOf });
      expect(told(rerun)).toEqual(then);
      expect(rerun.rerun).toEqual({
        latestDay: dayFromIso('2026-11-10'),
        left: ['inbox/a.csv', 'inbox/c.csv', 'reference/coaching.csv', 'reference/prices.csv'],
      });
      expect(contentsBelow(folder)).toEqual(before);
    }
    const next = nightOf(folder, { asOf: '2026-11-11' });
    expect([next.rerun, next.filesIngested, next.night.tests.numRows()]).toEqual([undefined, 2, 72]);
    expect(next.night.reference.coaching).toHaveLength(1);
    expect(next.rejects.map((one) => one.sourceFile)).toEqual(['reference/prices.csv']);
    expect(told(nightOf(folder, { asOf: '2026-11-01' }))).toEqual(then);
    expect(nightOf(folder, { asOf: '2026-11-10' }).night.tests.numRows()).toBe(48);
  });

  it('is one also where the nights since brought nothing new, or where a rebuild is told to stand on it', () => {
    const folder = newChainFolder({ 'a.csv': cleanText });
    const then = told(nightOf(folder, { asOf: '2026-11-01' }));
    nightOf(folder, { asOf: '2026-11-10' });
    put(folder, 'inbox/b.csv', others('77'));
    for (const over of [{}, { rebuild: { dropMissing: false } }]) {
      const rerun = nightOf(folder, { asOf: '2026-11-09', ...over });
      expect([told(rerun), rerun.rerun?.left]).toEqual([then, ['inbox/b.csv']]);
    }
    expect(nightOf(folder, { asOf: '2026-11-10' }).night.tests.numRows()).toBe(48);
    expect(nightOf(folder, { asOf: '2026-11-09' }).night.tests.numRows()).toBe(24);
  });

  it('reads files anew that a change of the chain file asks for, and takes no date in them for one to come', () => {
    const folder = newChainFolder({ 'a.csv': cleanText });
    nightOf(folder, { asOf: '2026-11-01' });
    put(folder, 'inbox/b.csv', others('77').replaceAll(/2026-\d\d-\d\d/g, '2026-11-08'));
    const then = told(nightOf(folder, { asOf: '2026-11-10' }));
    const { outputs } = readChain(folder, diskFileSystem);
    const chain = { outputs: outputs.map((entry) => ({ ...entry, aliases: [...entry.aliases, 'suet'] })) };
    const rerun = nightOf(folder, { asOf: '2026-11-05', chain });
    expect([rerun.filesIngested, rerun.night.tests.numRows()]).toEqual([2, 24]);
    expect(told(nightOf(folder, { asOf: '2026-11-10', chain }))).toEqual(then);
  });

  it('before the first night knows nothing, whatever there is by now', () => {
    const folder = newChainFolder({ 'a.csv': cleanText });
    nightOf(folder, { asOf: '2026-11-10' });
    const before = contentsBelow(join(folder, 'lake'));
    const { night, intake } = nightOf(folder, { asOf: '2026-11-09' });
    expect([night.tests.numRows(), night.reference.prices, intake]).toEqual([0, [], []]);
    expect(contentsBelow(join(folder, 'lake'))).toEqual(before);
  });
});
