import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  cleanRows,
  cleanText,
  contentsBelow,
  type intakeOf,
  newChainFolder,
  nightOf,
  put,
  sheet,
} from './chainFolder.ts';

describe('files refused whole', () => {
  it('are kept in mind, with why and the stores they name, until they are sent again', () => {
    const store = cleanRows[0]?.split(',')[1] as string;
    const dated = (order: (y: string, m: string, d: string) => string): string =>
      sheet(cleanRows.map((row) => row.replace(/(\d{4})-(\d\d)-(\d\d)/g, (_, y, m) => order(y, m, '05'))));
    const folder = newChainFolder({
      'clean.csv': cleanText,
      'twoways.csv': dated((y, m, d) => `${d}/${m}/${y}`),
      'serial.csv': sheet(cleanRows.map((row) => row.replace(/\d{4}-\d\d-\d\d/g, '46000'))),
      'sheet.xlsx': 'PK\u0003\u0004',
      'partly.csv': cleanText.replace('lean trim,0.89', 'lean trim,x'),
    });
    const found = (own: ReturnType<typeof intakeOf>) =>
      (own.night.refusedFiles ?? []).map((one) => [one.file, one.reject.code, one.stores.includes(store)]);
    const first = nightOf(folder);
    const refused = [
      ['inbox/serial.csv', 'date-invalid', true],
      ['inbox/sheet.xlsx', 'file-type', false],
      ['inbox/twoways.csv', 'date-order-ambiguous', true],
    ];
    expect(found(first)).toEqual(refused);
    expect(found(nightOf(folder, { asOf: '2026-11-24' }))).toEqual(refused);
    put(folder, 'inbox/serial.csv', cleanText, 1_700_000_100);
    expect(found(nightOf(folder, { asOf: '2026-11-25' }))).toEqual(refused.slice(1));
  });
  it('and refused rows are settled by their rejects file once it brings them all back, wrong or not', () => {
    const broken = sheet(cleanRows.slice(0, 8))
      .replace('lean trim,0.89', 'lean trim,x')
      .replace('fat,1.33', 'fat,y');
    const folder = newChainFolder({ 'w.csv': broken });
    const rejects = (name: string): string => join(folder, `rejects/${name}.rejects.csv`);
    const wrong = (night: ReturnType<typeof intakeOf>): string[] =>
      night.rejects.flatMap(({ code, sourceFile }) => (code === 'test-held-back' ? [] : [sourceFile]));
    const refused = ({ night }: ReturnType<typeof intakeOf>): string[] =>
      (night.refusedFiles ?? []).map(({ file }) => file);
    const first = nightOf(folder, { asOf: '2026-11-20' });
    expect([wrong(first), refused(first)]).toEqual([['inbox/w.csv', 'inbox/w.csv'], ['inbox/w.csv']]);
    const half = readFileSync(rejects('w.csv'), 'utf8').replace('lean trim,x', 'lean trim,0.89');
    // some rows alone leave the others to be mended
    put(folder, 'inbox/w.csv.rejects.csv', half.split('\r\n').slice(0, 5).join('\r\n'));
    const some = nightOf(folder, { asOf: '2026-11-21' });
    expect([wrong(some), existsSync(rejects('w.csv'))]).toEqual([['inbox/w.csv'], true]);
    put(folder, 'inbox/w.csv.rejects.csv', half, 1_700_000_100);
    const all = nightOf(folder, { asOf: '2026-11-21' });
    expect([wrong(all), refused(all)]).toEqual([['inbox/w.csv.rejects.csv'], []]);
    expect([existsSync(rejects('w.csv')), existsSync(rejects('w.csv.rejects.csv'))]).toEqual([false, true]);
    const mended = readFileSync(rejects('w.csv.rejects.csv'), 'utf8').replace('fat,y', 'fat,1.33');
    put(folder, 'inbox/w.csv.rejects.csv.rejects.csv', mended);
    const last = nightOf(folder, { asOf: '2026-11-22' });
    expect([last.night.tests.numRows(), last.rejects, existsSync(rejects('w.csv.rejects.csv'))]).toEqual([
      2,
      [],
      false,
    ]);
    expect(wrong(nightOf(folder, { asOf: '2026-11-20' }))).toEqual(wrong(first));
    // newer bytes under the first name are judged anew
    put(folder, 'inbox/w.csv', broken.replace('fat,y', 'fat,z'), 1_700_000_900);
    expect(wrong(nightOf(folder, { asOf: '2026-11-23' }))).toEqual(['inbox/w.csv', 'inbox/w.csv']);
  });

  it('leave rows that were taken out of a rejects file owed, in the counts, the rejects and the file to mend', () => {
    const rows = cleanRows.slice(0, 12);
    const broken = sheet(rows).replace('lean trim,0.89', 'lean trim,x').replace('fat,1.33', 'fat,y');
    const folder = newChainFolder({ 'w.csv': broken });
    const path = join(folder, 'rejects/w.csv.rejects.csv');
    const linesOf = (text: string): string[] => text.trimEnd().split('\r\n');
    const lastCell = (line: string): number => Number(line.split(',').at(-1));
    const owedOf = ({ intake }: ReturnType<typeof intakeOf>) => intake.map((row) => [row.rejected, row.owed]);
    const openOf = ({ rejects }: ReturnType<typeof intakeOf>) =>
      [...new Set(rejects.map((one) => one.sourceLine))].sort((a, b) => a - b);
    expect(owedOf(nightOf(folder, { asOf: '2026-11-20' }))).toEqual([[8, 8]]);
    const given = linesOf(readFileSync(path, 'utf8'));
    // the first test comes back without its last row, the second not at all
    const half = given.filter((line, i) => i === 0 || lastCell(line) < 5).join('\r\n');
    put(folder, 'inbox/w.csv.rejects.csv', half.replace('lean trim,x', 'lean trim,0.89'));
    const some = nightOf(folder, { asOf: '2026-11-21' });
    expect([owedOf(some), openOf(some), some.night.tests.numRows()]).toEqual([
      [
        [8, 5],
        [0, 0],
      ],
      [5, 6, 7, 8, 9],
      2,
    ]);
    expect(linesOf(readFileSync(path, 'utf8')).slice(1).map(lastCell)).toEqual([5, 6, 7, 8, 9]);
    expect(linesOf(readFileSync(path, 'utf8'))[1]).toBe(given[4]);
    // nothing is settled twice or forgotten, whatever the next one holds: it may replace the first
    put(
      folder,
      'inbox/w.csv.rejects.csv',
      [given[0], ...given.slice(5)].join('\r\n').replace('fat,y', 'fat,1.33'),
      1_700_000_100,
    );
    const most = nightOf(folder, { asOf: '2026-11-22' });
    expect([owedOf(most)[0], openOf(most), most.night.tests.numRows()]).toEqual([[8, 1], [5], 3]);
    expect(openOf(nightOf(folder, { asOf: '2026-11-21' }))).toEqual([5, 6, 7, 8, 9]);
    // a row is dropped for good where it is taken out of the sender's own file
    put(
      folder,
      'inbox/w.csv',
      sheet(rows.filter((_, i) => i !== 3)).replace('lean trim,0.89', 'lean trim,0.88'),
      1_700_000_200,
    );
    const last = nightOf(folder, { asOf: '2026-11-23' });
    expect([openOf(last), existsSync(path), last.night.tests.numRows()]).toEqual([[], false, 3]);
    expect(last.intake.map((row) => row.owed)).toEqual([0, 0, 0, 0]);
  });

  it('come back also where the program that mended them put other marks between the cells', () => {
    const broken = sheet(cleanRows.slice(0, 8)).replace('lean trim,0.89', 'lean trim,x').replaceAll(',', ';');
    const folder = newChainFolder({ 'w.csv': broken });
    nightOf(folder, { asOf: '2026-11-20' });
    const given = readFileSync(join(folder, 'rejects/w.csv.rejects.csv'), 'utf8');
    const saved = given.replace('lean trim;x', 'lean trim;0.89').replaceAll(/,/g, ' ').replaceAll(';', '\t');
    put(folder, 'inbox/w.csv.rejects.csv', saved);
    const { night, rejects } = nightOf(folder, { asOf: '2026-11-21' });
    expect([night.tests.numRows(), rejects]).toEqual([2, []]);
  });

  it('settle all or nothing where the column that names the lines was taken out', () => {
    const broken = sheet(cleanRows.slice(0, 8))
      .replace('lean trim,0.89', 'lean trim,x')
      .replace('fat,1.33', 'fat,y');
    const folder = newChainFolder({ 'w.csv': broken });
    nightOf(folder, { asOf: '2026-11-20' });
    const mended = sheet(cleanRows.slice(0, 8));
    put(folder, 'inbox/w.csv.rejects.csv', mended.split('\n').slice(0, 8).join('\n'));
    expect(nightOf(folder, { asOf: '2026-11-21' }).rejects).toHaveLength(8);
    put(folder, 'inbox/w.csv.rejects.csv', mended, 1_700_000_100);
    expect(nightOf(folder, { asOf: '2026-11-22' }).rejects).toEqual([]);
  });

  it('are, of reference tables, settled once they are taken out of the inbox as they were told to be', () => {
    const folder = newChainFolder({ 'clean.csv': cleanText, 'people.csv': 'cutter,name,store\nc,A,s-9\n' });
    const codes = (asOf: string): string[] => nightOf(folder, { asOf }).rejects.map((one) => one.code);
    expect(codes('2026-11-20')).toEqual(['table-misplaced']);
    expect(nightOf(folder, { asOf: '2026-11-20' }).night.refusedFiles).toMatchObject([{ stores: [] }]);
    rmSync(join(folder, 'inbox/people.csv'));
    expect(codes('2026-11-19')).toEqual([]);
    expect(codes('2026-11-21')).toEqual([]);
    const before = contentsBelow(join(folder, 'lake'));
    expect([codes('2026-11-21'), codes('2026-11-20')]).toEqual([[], ['table-misplaced']]);
    expect(contentsBelow(join(folder, 'lake'))).toEqual(before);
    expect(nightOf(folder, { asOf: '2026-11-21' }).intake).toHaveLength(2);
  });

  it('tell their stores by the rows that can be read, whatever the file was refused for', () => {
    const columns = cleanText.split('\n');
    const storesOf = (text: string | Buffer): readonly string[] => {
      const folder = newChainFolder({});
      put(folder, 'inbox/refused.csv', text as string);
      const [file, ...others] = nightOf(folder).night.refusedFiles ?? [];
      expect([file?.file, others]).toEqual(['inbox/refused.csv', []]);
      return file?.stores ?? [];
    };
    const rows = `${columns.slice(0, 9).join('\n')}\n`;
    const named = ['s-002', 's-003'];
    expect(storesOf(rows.replace(',grade,', ',class,'))).toEqual(named);
    expect(storesOf(rows.replace(',purge_weight,', ',purge_wieght,'))).toEqual(named);
    expect(storesOf(`Week 47\n\n${rows}`.replace(',grade,', ',class,'))).toEqual(named);
    expect(storesOf(`${rows}store,test_id,output,piece\n`)).toEqual(named);
    expect(storesOf(`${rows}s-004,"unclosed\nmore\n`)).toEqual(named);
    const total = `Total,Total${','.repeat(19)}\n`;
    expect(storesOf(`${rows}${total}`.replace(',grade,', ',class,'))).toEqual(named);
    expect(storesOf(rows.replaceAll(/(\d\.\d+)/g, '$1 lb'))).toEqual(named);
    // cells that stand beside their columns name no store, nor do two columns of stores
    const shifted = rows.replaceAll(/^00/gm, 'x,00');
    expect(storesOf(shifted)).toEqual([]);
    expect(storesOf(rows.replace(',spec,', ',store,'))).toEqual([]);
  });
});
