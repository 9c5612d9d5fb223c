import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { priceList } from '../../src/money/priceList.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import {
  cleanHeader,
  cleanRows,
  cleanText,
  contentsBelow,
  figuresOf,
  intakeOf,
  newChainFolder,
  nightOf,
  put,
  rowsOfTest,
  sameWhateverTheSplit,
  sheet,
} from './chainFolder.ts';

type Test = { testId: string; receivedKg: number; sourceFile: string };
const testsOf = (intake: ReturnType<typeof intakeOf>): Test[] => rowsOf<Test>(intake.night.tests);
const addsUp = (intake: ReturnType<typeof intakeOf>): boolean =>
  intake.intake.every(
    (row) =>
      row.rowsRead === row.accepted + row.rejected + row.blank + row.ignored + row.duplicate + row.superseded,
  );
const truth = figuresOf(intakeOf(newChainFolder({ 'clean.csv': cleanText })));
describe('takeIn', () => {
  it('reads a file once: the second night finds nothing new and changes no byte', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    expect(nightOf(folder).filesIngested).toBe(1);
    const before = contentsBelow(folder);
    const second = nightOf(folder);
    expect(second.filesIngested).toBe(0);
    expect(figuresOf(second)).toBe(truth);
    expect(contentsBelow(folder)).toEqual(before);
  });

  it('reads a file again when an alias of the chain changes, and once more when it is changed back', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    const chain = intakeOf(folder).night;
    const outputs = readChain(folder, diskFileSystem).outputs;
    const renamed = { outputs: outputs.map((entry) => ({ ...entry, aliases: [...entry.aliases, 'suet'] })) };
    nightOf(folder);
    expect(figuresOf(nightOf(folder, { chain: renamed }))).toBe(truth);
    for (const back of [nightOf(folder), nightOf(folder)]) {
      expect(figuresOf(back)).toBe(truth);
      expect([back.night.tests.numRows(), addsUp(back)]).toEqual([chain.tests.numRows(), true]);
    }
  });

  it('writes nothing before it is committed, and counts the same', () => {
    const folder = newChainFolder({ 'dirty.csv': cleanText.replace('lean trim,0.89', 'lean trim,x') });
    const before = contentsBelow(folder);
    const dry = intakeOf(folder);
    expect(contentsBelow(folder)).toEqual(before);
    const wet = nightOf(folder);
    expect([dry.intake, dry.rejects, figuresOf(dry)]).toEqual([wet.intake, wet.rejects, figuresOf(wet)]);
  });

  it('gives the same figures whatever way whole tests are ordered and split into files', () => {
    sameWhateverTheSplit(10);
  });

  it('leaves the other files alone when one is hostile', () => {
    const folder = newChainFolder({
      'clean.csv': cleanText,
      'hostile.csv': `${cleanHeader}\n"${'x'.repeat(3e6)}`,
    });
    const intake = nightOf(folder);
    expect(figuresOf(intake)).toBe(truth);
    expect(intake.intake.map((row) => row.state)).toEqual(['ingested', 'quarantined']);
    expect(addsUp(intake)).toBe(true);
  });

  it('lets a file that changes while it is read wait for the next night', () => {
    const folder = newChainFolder({
      'clean.csv': cleanText,
      'growing.csv': cleanText.replaceAll(/^0/gm, '9'),
    });
    let reads = 0;
    const growing = {
      ...diskFileSystem,
      readBytes: (path: string) => {
        const bytes = diskFileSystem.readBytes(path);
        if (path.endsWith('growing.csv'))
          put(folder, 'inbox/growing.csv', sheet(cleanRows), 1_700_000_100 + reads++);
        return bytes;
      },
    };
    const first = nightOf(folder, { fs: growing });
    expect(first.intake.map((row) => row.state)).toEqual(['ingested', 'waiting']);
    expect(figuresOf(first)).toBe(truth);
    expect(nightOf(folder).intake.map((row) => row.state)).toEqual(['ingested', 'duplicate-file']);
  });
});

describe('versions of a test', () => {
  const older = sheet(rowsOfTest('00037'));
  const newer = older.replaceAll('12.75,12.75', '12.75,12.70');
  it('follow the night first seen, and a file sent again later does not bring old figures back', () => {
    const folder = newChainFolder({ 'a.csv': older });
    nightOf(folder, { asOf: '2026-11-01' });
    put(folder, 'inbox/b.csv', newer);
    const second = nightOf(folder, { asOf: '2026-11-02' });
    expect(testsOf(second)[0]).toMatchObject({ sourceFile: 'inbox/b.csv' });
    expect(second.intake.map((row) => [row.accepted, row.superseded])).toEqual([
      [0, 4],
      [4, 0],
    ]);
    put(
      folder,
      'chain.yaml',
      `${readFileSync(join(folder, 'chain.yaml'), 'utf8')}\nfreshness: { stale_after_days: 9 }\n`,
    );
    put(folder, 'inbox/copy of a.csv', older);
    const third = nightOf(folder, { asOf: '2026-11-03' });
    expect(testsOf(third)[0]).toMatchObject({ sourceFile: 'inbox/b.csv' });
    expect(addsUp(third)).toBe(true);
  });
  it('are held, both, when equally late; revised_on settles it', () => {
    const folder = newChainFolder({ 'a.csv': older, 'b.csv': newer });
    const held = nightOf(folder);
    expect(testsOf(held)).toEqual([]);
    const start = Buffer.byteLength(`${cleanHeader}\n`);
    const conflict = { code: 'conflicting-versions', sourceLine: 2, byteOffset: start, found: '00037' };
    expect(held.rejects).toMatchObject([conflict, conflict]);
    expect(addsUp(held)).toBe(true);
    // the next night knows the place from the lake
    expect(nightOf(folder).rejects).toEqual(held.rejects);
    const revised = newer
      .split('\n')
      .map((line, i) => (line === '' ? '' : `${line},${i === 0 ? 'revised_on' : '2026-11-20'}`));
    put(folder, 'inbox/c.csv', revised.join('\n'));
    expect(testsOf(nightOf(folder))[0]).toMatchObject({ sourceFile: 'inbox/c.csv' });
  });
  it('can be withdrawn, and the whole history stays in the lake', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    nightOf(folder);
    const without = nightOf(folder, { chain: { withdraw: [{ store: 's-002', test_id: '00037' }] } });
    expect(testsOf(without)).toHaveLength(23);
    expect(addsUp(without)).toBe(true);
    expect(figuresOf(nightOf(folder))).toBe(truth);
  });
  it('are those known on the day when a past day is run again', () => {
    const folder = newChainFolder({ 'a.csv': older });
    const then = figuresOf(nightOf(folder, { asOf: '2026-11-01' }));
    put(folder, 'inbox/b.csv', newer);
    nightOf(folder, { asOf: '2026-11-05' });
    expect(figuresOf(nightOf(folder, { asOf: '2026-11-01' }))).toBe(then);
  });
  it('of the same bytes in two stores’ folders are two stores’ tests when the folder names the store', () => {
    const columns = cleanHeader.split(',');
    const text = sheet(rowsOfTest('00037'))
      .split('\n')
      .map((line) =>
        line
          .split(',')
          .filter((_, i) => columns[i] !== 'store')
          .join(','),
      )
      .join('\n');
    const folder = newChainFolder({ 's-101/week.csv': text, 's-102/week.csv': text });
    const senders = [
      {
        name: 'by folder',
        files: '*/week.csv',
        layout: 'long' as const,
        columns: {},
        wide: {},
        defaults: { store: '{1}' },
        footer: [],
        codes: { grade: {}, item: {}, output: {} },
      },
    ];
    const stores = rowsOf<{ store: string }>(nightOf(folder, { chain: { senders } }).night.tests).map(
      (row) => row.store,
    );
    expect(stores).toEqual(['s-101', 's-102']);
  });
});

describe('rejects', () => {
  const semicolons = (text: string): string =>
    text
      .replaceAll(/"[^"\n]*(?:""[^"\n]*)*"/g, 'checked')
      .replaceAll(',', ';')
      .replaceAll(/(\d)\.(\d)/g, '$1,$2')
      .replaceAll(/(\d{4})-(\d\d)-(\d\d)/g, '$2/$3/$1');
  const clean = semicolons(cleanText);
  it('files, mended and put into the inbox, give the figures of a clean first submission', () => {
    const broken = clean
      .replace(';fat;1,26', ';fat;x')
      .replace('lean trim;1,01', 'lean trim;x')
      .replace(';bone;', ';bonne;');
    expect(broken).not.toBe(clean);
    const folder = newChainFolder({ 'north/week.csv': broken });
    const first = nightOf(folder);
    const rejects = readFileSync(join(folder, 'rejects/north/week.csv.rejects.csv'), 'utf8');
    expect(rejects.startsWith('\ufefftest_id;')).toBe(true);
    expect(rejects.trimEnd().split('\r\n').length - 1).toBe(first.intake[0]?.rejected);
    const mended = rejects
      .replace(';fat;x;', ';fat;1,26;')
      .replace('lean trim;x;', 'lean trim;1,01;')
      .replace(';bonne;', ';bone;');
    expect(mended).not.toBe(rejects);
    put(folder, 'inbox/north/week.csv.rejects.csv', mended);
    const second = nightOf(folder, { asOf: '2026-11-23' });
    expect(figuresOf(second)).toBe(figuresOf(intakeOf(newChainFolder({ 'north/week.csv': clean }))));
    expect(addsUp(second)).toBe(true);
  });
  it('files carry every refused row and all rows of its test, and vanish when the file is sent again in order', () => {
    const folder = newChainFolder({ 'week.csv': cleanText.replace('lean trim,0.89', 'lean trim,x') });
    nightOf(folder);
    const path = join(folder, 'rejects/week.csv.rejects.csv');
    expect(readFileSync(path, 'utf8').trimEnd().split('\r\n')).toHaveLength(5);
    put(folder, 'inbox/week.csv', cleanText, 1_700_000_500);
    const second = nightOf(folder);
    expect(existsSync(path)).toBe(false);
    expect(second.rejects).toEqual([]);
    expect(figuresOf(second)).toBe(truth);
  });
});

describe('reference tables', () => {
  const prices = (price: string): string =>
    `output,price,unit,valid_from,kind\nfat,${price},lb,2025-01-01,regular\n`;
  const priceOf = (intake: ReturnType<typeof intakeOf>): number =>
    (intake.night.reference.prices[0]?.pricePerKg ?? Number.NaN) * 0.45359237;
  it('are those in force on the day when a past day is run again', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    nightOf(folder, { asOf: '2026-11-01' });
    put(folder, 'reference/prices.csv', prices('0.75'));
    expect(priceOf(nightOf(folder, { asOf: '2026-11-10' }))).toBeCloseTo(0.75, 12);
    expect(priceOf(nightOf(folder, { asOf: '2026-11-05' }))).toBeCloseTo(0.5, 12);
    put(folder, 'reference/prices.csv', prices('0.5'), 1_700_000_900);
    expect(priceOf(nightOf(folder, { asOf: '2026-11-12' }))).toBeCloseTo(0.5, 12);
    expect(priceOf(nightOf(folder, { asOf: '2026-11-11' }))).toBeCloseTo(0.75, 12);
  });
  it('give refused rows back like the inbox', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    put(folder, 'reference/prices.csv', `${prices('0.75')}bone,abc,lb,2025-01-01,regular\n`);
    const intake = nightOf(folder);
    expect(intake.rejects).toMatchObject([
      { code: 'number-invalid', sourceFile: 'reference/prices.csv', sourceLine: 3 },
    ]);
    expect(readFileSync(join(folder, 'rejects/reference/prices.csv.rejects.csv'), 'utf8')).toContain(
      'bone,abc',
    );
  });
  it('refuse prices that tie, each naming the other, and leave no price in their place; the rows come back', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    const table = `output,price,unit,valid_from,kind,region
fat,0.4,lb,2025-01-01,regular,
fat,0.5,lb,2025-01-01,regular,north
fat,0.6,lb,2025-01-01,regular,north
`;
    put(folder, 'reference/prices.csv', table);
    put(folder, 'reference/stores.csv', 'store,name,region\ns-002,Two,north\ns-003,Three,south\n');
    const intake = nightOf(folder);
    expect(intake.rejects).toMatchObject([
      {
        code: 'price-tied',
        sourceLine: 3,
        byteOffset: 72,
        found: '0.5',
        expected: 'one price; line 4 asks 0.6',
      },
      {
        code: 'price-tied',
        sourceLine: 4,
        byteOffset: 108,
        found: '0.6',
        expected: 'one price; line 3 asks 0.5',
      },
    ]);
    const { inForce } = priceList(intake.night.reference.prices);
    const question = { output: 'fat', item: '', grade: '', day: 20_800 };
    expect(inForce({ ...question, region: 'south' })).toBeCloseTo(0.4 / 0.45359237, 12);
    expect(inForce({ ...question, region: 'north' })).toBeNaN();
    const back = readFileSync(join(folder, 'rejects/reference/prices.csv.rejects.csv'), 'utf8');
    expect(back.trimEnd().split('\r\n')).toHaveLength(3);
  });
  it('are read by aliases like tests; rows of unknown outputs and units that are none are refused', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText });
    const table = `${prices('0.75')}fatt,0.6,lb,2025-01-01,regular\nfat,0.6,each,2026-01-01,regular\n`;
    put(folder, 'reference/prices.csv', table);
    expect(nightOf(folder).rejects.map((one) => [one.code, one.sourceLine, one.field, one.expected])).toEqual(
      [
        ['choice-invalid', 4, 'unit', 'one of lb, kg, oz, g'],
        ['output-unknown', 3, 'output', 'a known output; is "fat" meant?'],
      ],
    );
  });
});

describe('what the lake no longer keeps', () => {
  const old = sheet(rowsOfTest('00037')).replaceAll(/2026-\d\d-\d\d/g, '2026-01-05');
  const young = sheet(cleanRows.filter((row) => !row.startsWith('00037,')));
  const months = (count: number) => ({ chain: { retention: { months: count, releases: 0 } } });

  it('are tests older than `retention.months`: gone from the lake, still counted, and no night later differs', () => {
    const folder = newChainFolder({ 'old.csv': old });
    put(folder, 'inbox/broken.csv', old.replaceAll('00037', '99037').replace(/,fat,[\d.]+/, ',fat,x'));
    nightOf(folder, { asOf: '2026-01-31' });
    expect(existsSync(join(folder, 'rejects/broken.csv.rejects.csv'))).toBe(true);
    expect(Object.keys(contentsBelow(join(folder, 'lake/parts'))).join()).toContain('2026-01/');
    put(folder, 'inbox/young.csv', young);
    const first = nightOf(folder, { asOf: '2026-11-23', ...months(10) });
    expect(testsOf(first)).toHaveLength(24);
    const second = nightOf(folder, { asOf: '2026-11-23', ...months(9) });
    // two of the others were cut in January too
    expect(testsOf(second)).toHaveLength(21);
    expect(second.intake.find((row) => row.file === 'inbox/old.csv')).toMatchObject({
      ignored: 4,
      accepted: 0,
    });
    expect(addsUp(second)).toBe(true);
    expect(Object.keys(contentsBelow(join(folder, 'lake/parts'))).join()).not.toContain('2026-01/');
    expect(second.rejects).toEqual([]);
    expect(existsSync(join(folder, 'rejects/broken.csv.rejects.csv'))).toBe(false);
    const before = contentsBelow(folder);
    const third = nightOf(folder, { asOf: '2026-11-23', ...months(9) });
    expect([third.filesIngested, third.intake, contentsBelow(folder)]).toEqual([0, second.intake, before]);
  });

  it('are not missed by a rebuild when their files are cleared away; files that still hold tests are', () => {
    const folder = newChainFolder({ 'old.csv': old });
    nightOf(folder, { asOf: '2026-01-31' });
    put(folder, 'inbox/young.csv', young);
    const kept = nightOf(folder, months(9));
    rmSync(join(folder, 'inbox/old.csv'));
    const rebuild = { dropMissing: false };
    expect(figuresOf(intakeOf(folder, { ...months(9), rebuild }))).toBe(figuresOf(kept));
    rmSync(join(folder, 'inbox/young.csv'));
    put(folder, 'inbox/other.csv', old);
    expect(() => intakeOf(folder, { ...months(9), rebuild })).toThrow('1 file of the lake');
  });

  it('are tests, names and coaching of removed cutters: no byte of the lake names them, nor after a rebuild', () => {
    const canary = 'cutter-to-forget';
    const folder = newChainFolder({
      'clean.csv': cleanText.replaceAll(/^(00037,[^,]*,)[^,]*/gm, `$1${canary}`),
    });
    put(folder, 'reference/cutters.csv', `cutter,name\n${canary},Robin Canary\n`);
    put(folder, 'reference/coaching.csv', `cutter,coached_on,by\n${canary},2026-10-01,a\n`);
    const lakeText = (): string => Object.values(contentsBelow(join(folder, 'lake'))).join('\n');
    nightOf(folder);
    expect(lakeText()).toContain(canary);
    const removed = { chain: { removed_cutters: [canary] } };
    const without = nightOf(folder, removed);
    expect([testsOf(without).length, addsUp(without)]).toEqual([23, true]);
    expect(without.night.reference.cutters).toEqual([]);
    expect(without.night.reference.coaching).toEqual([]);
    put(folder, 'reference/cutters.csv', 'cutter,name\n');
    put(folder, 'reference/coaching.csv', 'cutter,coached_on,by\n');
    nightOf(folder, removed);
    expect(lakeText()).not.toContain(canary);
    expect(lakeText()).not.toContain('Robin');
    const again = intakeOf(folder, { ...removed, rebuild: { dropMissing: false } });
    expect(figuresOf(again)).toBe(figuresOf(without));
    again.commit();
    expect(lakeText()).not.toContain(canary);
  });
});

describe('the lake', () => {
  it('keeps nothing of a night when another run changed it meanwhile', () => {
    const folder = newChainFolder({ 'a.csv': cleanText });
    const slow = intakeOf(folder);
    nightOf(folder);
    const before = contentsBelow(join(folder, 'lake'));
    expect(() => slow.commit()).toThrow(expect.objectContaining({ exitCode: 75 }));
    expect(contentsBelow(join(folder, 'lake'))['manifest.json']).toBe(before['manifest.json']);
  });
});
