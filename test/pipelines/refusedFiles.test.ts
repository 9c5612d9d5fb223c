import { describe, expect, it } from 'vitest';
import { cleanRows, cleanText, type intakeOf, newChainFolder, nightOf, put, sheet } from './chainFolder.ts';

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
