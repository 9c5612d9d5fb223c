import { parse } from 'csv-parse/sync';
import type { SenderEntry } from '../../../src/catalog/chain.ts';
import type { RejectCode } from '../../../src/faults/rejectCodes.ts';

/** What must come of a polluted file: all tests but the refused ones, unchanged; or the whole file refused. */
export type Outcome = { refused: string[]; code?: RejectCode } | { quarantined: RejectCode };
export type PollutedFile = {
  faultClass: string;
  name: string;
  bytes: Uint8Array;
  /** Right outcomes; more than one where either is right. */
  right: Outcome[];
  sender?: Partial<SenderEntry>;
  path?: string;
  /** The clean file whose tests must come out; the one clean file when left out. */
  like?: string;
};

export type Sheet = string[][];
type Written = { delimiter?: string; end?: string; quoteAll?: boolean };
type Extra = Pick<PollutedFile, 'sender' | 'path' | 'like'>;

export const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const quoted = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;
export const written = (sheet: Sheet, { delimiter = ',', end = '\n', quoteAll = false }: Written = {}): string =>
  sheet
    .map((row) =>
      row
        .map((cell) => (quoteAll || cell.includes(delimiter) || /["\r\n]/.test(cell) ? quoted(cell) : cell))
        .join(delimiter),
    )
    .join(end) + end;
export const utf16 = (text: string, isLittle: boolean, mark = true): Uint8Array => {
  const marked = `${mark ? '\ufeff' : ''}${text}`;
  const bytes = new Uint8Array(marked.length * 2);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < marked.length; i++) view.setUint16(2 * i, marked.charCodeAt(i), isLittle);
  return bytes;
};
/** Latin-1 bytes of text, which for the letters used here are those of Windows-1252. */
export const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (letter) => letter.charCodeAt(0));
export const joined = (...parts: Uint8Array[]): Uint8Array => Uint8Array.from(parts.flatMap((part) => [...part]));
export const weights = ['billed_weight', 'received_weight', 'purge_weight', 'unit_cost', 'minutes', 'output_weight'];

/** One clean file (long layout, comma, decimal point, ISO dates, UTF-8), ways to spoil it, and the spoiled copies so far. */
export const polluter = (clean: string) => {
  const sheet = parse(clean) as Sheet;
  const header = sheet[0] as string[];
  const lines = clean.trimEnd().split('\n');
  const at = (name: string): number => header.indexOf(name);
  const idOf = (row: number): string => (sheet[row] as string[])[0] as string;
  const everyId = [...new Set(sheet.slice(1).map((row) => row[0] as string))];
  const files: PollutedFile[] = [];
  const add = (
    faultClass: string,
    name: string,
    content: string | Uint8Array,
    right: Outcome | Outcome[],
    extra: Extra = {},
  ): void => {
    const bytes = typeof content === 'string' ? utf8(content) : content;
    files.push({ faultClass, name, bytes, right: [right].flat(), ...extra });
  };
  const all: Outcome = { refused: [] };
  const refused = (code: RejectCode, ...rows: number[]): Outcome => ({ refused: [...new Set(rows.map(idOf))], code });
  const allRefused = (code: RejectCode): Outcome => ({ refused: everyId, code });
  const edited = (change: (own: Sheet) => void): Sheet => {
    const own = sheet.map((row) => [...row]);
    change(own);
    return own;
  };
  /** All cells of a column. */
  const column = (name: string, change: (text: string, row: number) => string): Sheet =>
    edited((own) => {
      for (const [i, row] of own.entries()) if (i > 0) row[at(name)] = change(row[at(name)] as string, i);
    });
  /** All cells of some columns. */
  const cells = (names: string[], change: (cell: string) => string): Sheet =>
    edited((own) => {
      for (const row of own.slice(1)) for (const name of names) row[at(name)] = change(row[at(name)] as string);
    });
  /** One cell of one row; the other rows of its test as they were. */
  const cell = (row: number, name: string, value: string): Sheet =>
    edited((own) => {
      (own[row] as string[])[at(name)] = value;
    });
  /** A test field in all rows of one test. */
  const field = (row: number, name: string, value: string): Sheet =>
    edited((own) => {
      for (const other of own) if (other[0] === idOf(row)) other[at(name)] = value;
    });
  const withLines = (change: (own: string[]) => void): string => {
    const own = [...lines];
    change(own);
    return `${own.join('\n')}\n`;
  };
  /** One line of the file. */
  const replaced = (row: number, change: (line: string) => string): string =>
    withLines((own) => {
      own[row] = change(own[row] as string);
    });
  /** One column more. */
  const withColumn = (name: string, value: (row: number) => string): Sheet =>
    sheet.map((row, i) => [...row, i === 0 ? name : value(i)]);
  return { sheet, header, lines, at, idOf, everyId, files, add, all, refused, allRefused, edited, column, cells, cell, field, withLines, replaced, withColumn };
};
