import { existsSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readUnnameable } from '../../src/ingest/readInbox.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { cleanHeader, cleanText, newChainFolder, nightOf, put } from './chainFolder.ts';

const broken = cleanText.replace('lean trim,0.89', 'lean trim,x');

describe('a file whose name its rejects could not be given back under', () => {
  const unfit = [
    [`${'x'.repeat(246)}.csv`, 'a name of 250 bytes', 'a name of at most 200 bytes'],
    [`north/${'ü'.repeat(99)}.csv`, 'a name of 202 bytes', 'a name of at most 200 bytes'],
    [
      'week.csv.rejects.csv/x.csv',
      'a folder named week.csv.rejects.csv',
      'a folder that is not named like a rejects file',
    ],
    [
      'reference/stores.csv',
      'a folder named reference',
      'another folder: the rejects of that one are those of the reference tables',
    ],
  ] as const;
  it.each(unfit)('is refused, and the night goes on: %s', (path, found, expected) => {
    const folder = newChainFolder({ 'week.csv': broken, [path]: cleanText });
    const { rejects, intake } = nightOf(folder);
    expect(rejects.filter((one) => one.code === 'file-name')).toMatchObject([
      { sourceFile: `inbox/${path}`, found, expected },
    ]);
    expect(intake.map((row) => row.state).sort()).toEqual(['ingested', 'quarantined']);
    expect(existsSync(join(folder, 'rejects/week.csv.rejects.csv'))).toBe(true);
  });

  it('is taken under another name, though its bytes are known', () => {
    const folder = newChainFolder({ 'reference/a.csv': cleanText, 'b.txt': cleanText });
    put(folder, 'inbox/none.csv', `${cleanHeader}\n`);
    expect(nightOf(folder).night.tests.numRows()).toBe(0);
    renameSync(join(folder, 'inbox/b.txt'), join(folder, 'inbox/b.csv'));
    const { intake, night } = nightOf(folder, { asOf: '2026-11-24' });
    expect([
      night.tests.numRows(),
      intake.map((row) => [row.file, row.state, row.accepted, row.owed]),
    ]).toEqual([
      24,
      [
        ['inbox/b.csv', 'ingested', 96, 0],
        ['inbox/b.txt', 'quarantined', 0, 0],
        ['inbox/none.csv', 'ingested', 0, 0],
        ['inbox/reference/a.csv', 'quarantined', 0, 0],
      ],
    ]);
    expect(nightOf(folder, { asOf: '2026-11-24' }).filesIngested).toBe(0);
  });

  it('is taken where it is as long as may be, also back as its rejects file', () => {
    const name = `${'x'.repeat(183)}.csv`;
    const folder = newChainFolder({ [name]: broken });
    nightOf(folder);
    expect(existsSync(join(folder, `rejects/${name}.rejects.csv`))).toBe(true);
  });
});

describe('a file whose name is no UTF-8', () => {
  it('stops no night and is named', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    writeFileSync(
      Buffer.concat([Buffer.from(`${folder}/inbox/caf`), Buffer.of(0xe9), Buffer.from('.csv')]),
      cleanText,
    );
    expect(nightOf(folder).intake.map((row) => row.file)).toEqual(['inbox/clean.csv']);
    expect(readUnnameable(folder, diskFileSystem)).toEqual(['inbox/caf\ufffd.csv']);
  });
});
