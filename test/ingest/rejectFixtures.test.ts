import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { type RejectCode, rejectCodes } from '../../src/faults/rejectCodes.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const chain = readChain('test/cases/pollution', diskFileSystem);
const setting = {
  ...readSentSchemas(diskFileSystem),
  asOfDay: dayFromIso('2026-11-23'),
};
const lines = readFileSync('test/cases/pollution/clean.csv', 'utf8').trimEnd().split('\n').slice(0, 9);
const header = (lines[0] as string).split(',');

type Fixture = {
  text: string | Uint8Array;
  sender?: object;
  /** What the first reject of the code must say; the byte offset is where the line starts, counted here on its own. */
  line: number;
  field: string;
  found: string;
};

/** The first nine lines with one changed. */
const withLine = (at: number, change: (line: string) => string): string =>
  `${lines.map((line, i) => (i === at - 1 ? change(line) : line)).join('\n')}\n`;
const withCell = (at: number, column: string, value: string): string =>
  withLine(at, (line) =>
    line
      .split(',')
      .map((cell, i) => (i === header.indexOf(column) ? value : cell))
      .join(','),
  );
const withField = (column: string, value: string): string =>
  `${lines
    .map((line, i) =>
      i === 0 || i > 4
        ? line
        : line
            .split(',')
            .map((cell, k) => (k === header.indexOf(column) ? value : cell))
            .join(','),
    )
    .join('\n')}\n`;
const whole = `${lines.join('\n')}\n`;
const portions = 'store,test_id,output,piece,weight,unit\ns,1,fat,1,2,lb\ns,1,fat,1,2,lb\n';

/** Codes with a fixture in test/pipelines: the first needs two files, the others reference tables. */
const elsewhere = [
  'file-name',
  'conflicting-versions',
  'price-tied',
  'row-repeated',
  'cutter-named-twice',
  'dates-reversed',
  'method-unknown',
  'habit-unknown',
  'store-unknown',
  'region-unknown',
] as const;
/** One fixture a code. */
const fixtures: Record<Exclude<RejectCode, (typeof elsewhere)[number]>, Fixture> = {
  'file-type': {
    text: '<html><body>Sign in</body></html>\n',
    line: 1,
    field: '',
    found: 'a web page',
  },
  'encoding-invalid': {
    text: Uint8Array.from([...Buffer.from(withLine(3, (line) => line)), 0xff, 0x81, 0x0a]),
    line: 10,
    field: '',
    found: 'ÿ',
  },
  'delimiter-ambiguous': {
    text: 'test_id,store;cutter\n1,2;3\n',
    line: 1,
    field: '',
    found: 'test_id,store;cutter',
  },
  'header-unknown': { text: 'one,two\n1,2\n', line: 1, field: '', found: 'one,two' },
  'column-missing': {
    text: whole.replace(',grade,', ',class,'),
    line: 1,
    field: 'grade',
    found: 'test_id | store',
  },
  'table-misplaced': {
    text: 'Cutter,Name,Store\nc-1,A. Alder,s-1\n',
    line: 1,
    field: '',
    found: 'Cutter | Name | Store',
  },
  'column-duplicate': {
    text: whole.replace(',spec,', ',Grade,'),
    line: 1,
    field: 'grade',
    found: 'test_id | store',
  },
  'column-doubtful': {
    text: whole.replace(',purge_weight,', ',purge_wieght,'),
    line: 1,
    field: 'purge_weight',
    found: 'purge_wieght',
  },
  'header-again': {
    text: `${whole}${portions}`,
    line: 10,
    field: '',
    found: 'store | test_id | output',
  },
  'decimal-ambiguous': {
    text: withCell(4, 'output_weight', '"1,26"'),
    line: 4,
    field: 'output_weight',
    found: '1,26',
  },
  'date-order-ambiguous': {
    text: withField('cut_date', '03/04/2026'),
    line: 2,
    field: 'cut_date',
    found: '03/04/2026',
  },
  'quote-broken': {
    text: withLine(3, (line) => `${line}"x`.replace(/,[^,]*$/, ',"x')),
    line: 3,
    field: '',
    found: '"x',
  },
  'limit-exceeded': {
    text: withCell(4, 'note', 'x'.repeat(40_000)),
    line: 4,
    field: '',
    found: 'x'.repeat(200),
  },
  'cell-count': { text: withLine(5, (line) => `${line},extra`), line: 5, field: '', found: '22 cells' },
  'value-missing': { text: withCell(4, 'output', ''), line: 4, field: 'output', found: '' },
  'number-invalid': {
    text: withCell(4, 'output_weight', '1.2 lb'),
    line: 4,
    field: 'output_weight',
    found: '1.2 lb',
  },
  'number-out-of-range': {
    text: withCell(4, 'output_weight', '-1'),
    line: 4,
    field: 'output_weight',
    found: '-1',
  },
  'date-invalid': { text: withCell(4, 'cut_date', '46111'), line: 4, field: 'cut_date', found: '46111' },
  'date-future': {
    text: withField('cut_date', '2026-12-01'),
    line: 2,
    field: 'cut_date',
    found: '2026-12-01',
  },
  'choice-invalid': { text: withCell(4, 'unit', 'stone'), line: 4, field: 'unit', found: 'stone' },
  'text-damaged': { text: withCell(4, 'cutter', '=C7'), line: 4, field: 'cutter', found: '=C7' },
  'control-character': { text: withCell(4, 'cutter', 'c\u0000'), line: 4, field: 'cutter', found: 'c\u0000' },
  'item-unknown': { text: withField('item', '112Z'), line: 2, field: 'item', found: '112Z' },
  'grade-unknown': { text: withField('grade', 'Chioce'), line: 2, field: 'grade', found: 'Chioce' },
  'output-unknown': { text: withCell(4, 'output', 'fatt'), line: 4, field: 'output', found: 'fatt' },
  'test-fields-differ': {
    text: withCell(4, 'cutter', 'c-9'),
    line: 4,
    field: 'cutter',
    found: 'c-9',
  },
  'output-repeated': {
    text: withCell(4, 'output', 'lean trim'),
    line: 4,
    field: 'output',
    found: 'lean trim',
  },
  'piece-repeated': { text: portions, line: 3, field: 'piece', found: '1' },
  'test-repeated': {
    text: `${header.slice(0, 17).join(',')},fat\n${(lines[1] as string).split(',').slice(0, 17).join(',')},1\n${(lines[1] as string).split(',').slice(0, 17).join(',')},2\n`,
    sender: { layout: 'wide' },
    line: 3,
    field: 'test_id',
    found: '00037',
  },
  'test-held-back': { text: withCell(4, 'output_weight', 'x'), line: 2, field: 'test_id', found: '00037' },
};

const byteOfLine = (bytes: Uint8Array, line: number): number => {
  let at = 0;
  for (let i = 1; i < line; i++) at = bytes.indexOf(0x0a, at) + 1;
  return at;
};

/** A title of three lines above the column names: two of one quoted cell, beyond ASCII, and a blank one. */
const title = '"Nördliche Filiale\nWoche 47"\n\n';
type Written = { text: string; encoding: string; mark: number[] };
/** Other ways to send the text of a fixture; codes told by the first line of a file stand without a title. */
const ways: Record<string, (text: string, code: string) => Written> = {
  'with CRLF': (text) => ({ text: text.replaceAll('\n', '\r\n'), encoding: 'utf-8', mark: [] }),
  'with a byte order mark': (text) => ({ text, encoding: 'utf-8', mark: [0xef, 0xbb, 0xbf] }),
  'in UTF-16': (text) => ({ text, encoding: 'utf-16le', mark: [0xff, 0xfe] }),
  'below a title': (text, code) => ({
    text: code === 'file-type' ? text : title + text,
    encoding: 'utf-8',
    mark: [],
  }),
  'below a title in Windows-1252': (text, code) => ({
    text: code === 'file-type' ? text : title + text,
    encoding: 'windows-1252',
    mark: [],
  }),
};
/** Bytes of texts of which Latin-1 has every letter. */
const bytesOf = ({ text, encoding, mark }: Written): Uint8Array => {
  const buffers: Record<string, BufferEncoding> = { 'utf-16le': 'utf16le', 'windows-1252': 'latin1' };
  return Uint8Array.from([...mark, ...Buffer.from(text, buffers[encoding] ?? 'utf8')]);
};

describe('reject codes', () => {
  it.each(Object.keys(fixtures))('%s names file, line, byte, field, raw value, cause and remedy', (code) => {
    const { text, sender, line, field, found } = fixtures[code as keyof typeof fixtures];
    const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
    const own = delivered(
      { path: 'inbox/north/sheet.csv', bytes },
      { ...setting, chain: { ...chain, senders: [{ ...senderOf('', []), ...sender }] } },
    );
    const reject = own.rejects.find((one) => one.code === code);
    expect(reject).toMatchObject({
      sourceFile: 'inbox/north/sheet.csv',
      sourceLine: line,
      byteOffset: byteOfLine(bytes, line),
      field,
      remedy: rejectCodes[code as RejectCode].remedy,
    });
    expect(reject?.found.startsWith(found)).toBe(true);
    expect(reject?.expected).not.toBe('');
  });
  describe.each(Object.keys(ways))('%s', (way) => {
    const texts = Object.entries(fixtures).filter(([, fixture]) => typeof fixture.text === 'string');
    it.each(texts)('%s names the byte at which the record begins', (code, { text, sender }) => {
      const written = (ways[way] as (typeof ways)[string])(text as string, code);
      const bytes = bytesOf(written);
      const own = delivered(
        { path: 'inbox/north/sheet.csv', bytes },
        { ...setting, chain: { ...chain, senders: [{ ...senderOf('', []), ...sender }] } },
      );
      const found = own.rejects.filter((one) => one.code === code);
      expect(found.length).toBeGreaterThan(0);
      for (const { sourceLine, byteOffset } of own.rejects) {
        const before = Buffer.from(bytes.subarray(0, byteOffset));
        const above = new TextDecoder(written.encoding).decode(before);
        expect(above.split('\n').length).toBe(sourceLine);
        if (byteOffset > written.mark.length) expect(above.endsWith('\n')).toBe(true);
      }
    });
  });
  it('name the record that is too long where no column name is known', () => {
    const text = `a title\nNördlich\n${'x'.repeat(2e6)}\n`;
    const own = delivered({ path: 'inbox/a.csv', bytes: Buffer.from(text) }, { ...setting, chain });
    expect(own.rejects).toMatchObject([
      { code: 'limit-exceeded', sourceLine: 3, byteOffset: 18, found: 'x'.repeat(200) },
    ]);
  });
  it('have a fixture each: none of the catalog is without', () => {
    expect([...Object.keys(fixtures), ...elsewhere].sort()).toEqual(Object.keys(rejectCodes).sort());
    const proof = ['intake', 'referenceIntake', 'unfitNames']
      .map((name) => readFileSync(`test/pipelines/${name}.test.ts`, 'utf8'))
      .join('');
    for (const code of elsewhere) expect(proof).toContain(code);
  });
  it('each map to an error type of the Frictionless vocabulary', () => {
    // The types of frictionless-py 5 that tell of sources, headers, labels, rows and cells (from its documentation).
    const vocabulary = [
      'source-error',
      'encoding-error',
      'header-error',
      'blank-header',
      'label-error',
      'extra-label',
      'missing-label',
      'blank-label',
      'duplicate-label',
      'incorrect-label',
      'row-error',
      'blank-row',
      'primary-key',
      'foreign-key',
      'duplicate-row',
      'row-constraint',
      'cell-error',
      'extra-cell',
      'missing-cell',
      'type-error',
      'constraint-error',
      'unique-error',
    ];
    for (const { frictionless } of Object.values(rejectCodes)) expect(vocabulary).toContain(frictionless);
  });
  it('say in words what is wrong and what to do', () => {
    for (const { message, remedy } of Object.values(rejectCodes)) {
      expect(message).toMatch(/^[A-Z].*[.]$/);
      expect(remedy).toMatch(/^[A-Z].*[.]$/);
    }
  });
});
