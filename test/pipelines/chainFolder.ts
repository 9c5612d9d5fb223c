import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { expect } from 'vitest';
import { type Intake, takeIn } from '../../pipelines/intake.ts';
import type { Chain } from '../../src/catalog/chain.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { contentHash } from '../../src/system/contentHash.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

/** The clean file of test/cases/pollution: header and rows. */
export const cleanText = readFileSync('test/cases/pollution/clean.csv', 'utf8');
export const [cleanHeader = '', ...cleanRows] = cleanText.trimEnd().split('\n');

/** A chain folder of its own in the system's temporary folder, with prices and the given files of the inbox. */
export const newChainFolder = (files: Record<string, string>): string => {
  const folder = mkdtempSync(join(tmpdir(), 'chain-'));
  cpSync('test/cases/pollution/chain.yaml', join(folder, 'chain.yaml'));
  put(folder, 'reference/prices.csv', 'output,price,unit,valid_from,kind\nfat,0.5,lb,2025-01-01,regular\n');
  for (const [path, text] of Object.entries(files)) put(folder, `inbox/${path}`, text);
  return folder;
};

/** Writes a file of the folder; `second` is its time of change. */
export const put = (folder: string, path: string, text: string, second = 1_700_000_000): void => {
  mkdirSync(dirname(join(folder, path)), { recursive: true });
  writeFileSync(join(folder, path), text);
  utimesSync(join(folder, path), second, second);
};

type Over = {
  asOf?: string;
  fs?: FileSystem;
  chain?: Partial<Chain>;
  rebuild?: { dropMissing: boolean };
};

/** The intake of one night, not committed. */
export const intakeOf = (
  folder: string,
  { asOf = '2026-11-23', fs = diskFileSystem, chain = {}, rebuild }: Over = {},
): Intake =>
  takeIn({
    chainFolder: folder,
    chain: { ...readChain(folder, diskFileSystem), ...chain },
    fs,
    asOfDay: dayFromIso(asOf),
    rebuild,
  });

/** The intake of one night, committed. */
export const nightOf = (folder: string, over: Over = {}): Intake => {
  const intake = intakeOf(folder, over);
  intake.commit();
  return intake;
};

/** SHA-256 of all figures of a night, where each row stood left out. */
export const figuresOf = ({ night }: Intake): string =>
  contentHash(
    JSON.stringify(
      [night.tests, night.outputs, night.portions].map((table) =>
        rowsOf<Record<string, unknown>>(table).map(({ sourceFile, sourceLine, ...figures }) => figures),
      ),
    ),
  );

/** Every file below a folder with its content. */
export const contentsBelow = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder, { recursive: true })
      .map(String)
      .filter((path) => statSync(join(folder, path)).isFile())
      .sort()
      .map((path) => [path, readFileSync(join(folder, path), 'latin1')]),
  );

const testIds = [...new Set(cleanRows.map((row) => row.slice(0, 5)))];
/** The rows of one test of the clean file, and a file of given rows. */
export const rowsOfTest = (id: string): string[] => cleanRows.filter((row) => row.startsWith(`${id},`));
export const sheet = (rows: readonly string[]): string => `${[cleanHeader, ...rows].join('\n')}\n`;

/** Whole tests in any order and in up to eight files: the same figures each time. Gives the number of nights drawn. */
export const sameWhateverTheSplit = (runs: number): number => {
  const truth = figuresOf(intakeOf(newChainFolder({ 'clean.csv': cleanText })));
  const split = fc.tuple(
    fc.shuffledSubarray(testIds, { minLength: testIds.length }),
    fc.array(fc.integer({ min: 0, max: 7 }), { minLength: testIds.length, maxLength: testIds.length }),
    fc.boolean(),
  );
  let nights = 0;
  fc.assert(
    fc.property(split, ([order, places, isReversed]) => {
      const files: Record<string, string> = {};
      for (const place of new Set(places)) {
        const own = order.filter((_, i) => places[i] === place).flatMap(rowsOfTest);
        files[`part ${place}.csv`] = sheet(isReversed ? own.reverse() : own);
      }
      const folder = newChainFolder(files);
      expect(figuresOf(intakeOf(folder))).toBe(truth);
      rmSync(folder, { recursive: true });
      nights++;
    }),
    { numRuns: runs },
  );
  return nights;
};
