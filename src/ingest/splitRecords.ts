import type { DecodedLine } from './decodedLines.ts';
import { cellSplitter, splitCells } from './splitCells.ts';

/**
 * One record: its cells, the line and byte it starts at. `fault`: 'broken' = the quoting of this line is wrong and `cells`
 * are what stands before it; 'swallows' = a quoted cell holds what look like whole rows; 'not-text' = a line of it, `faultLine`,
 * is not in the encoding.
 */
export type DelimitedRecord = {
  cells: string[];
  sourceLine: number;
  byteOffset: number;
  lines: number;
  /** Set when its first cells are taken over from an earlier row: how many, and the cells of that row. */
  taken: number;
  from: readonly string[];
  fault: '' | 'broken' | 'swallows' | 'not-text' | 'too-long';
  faultLine: number;
};

/** Line ends that one quoted cell may hold. */
const quotedLineEnds = 20;

/**
 * Records one by one from lines. A quoted cell may go on over at most 20 line ends; where it does not close or closes
 * wrongly, only its first line is broken and reading goes on with the next line. `width()`: cells of the header, 0 before.
 */
export const splitRecords = (
  nextLine: () => DecodedLine | undefined,
  delimiter: string,
  setting: { width: () => number; recordLength: number },
): (() => DelimitedRecord | undefined) => {
  const ahead: DecodedLine[] = [];
  const take = (): DecodedLine | undefined => ahead.shift() ?? nextLine();
  const isWholeRow = (text: string): boolean => {
    const cells = splitCells(text, delimiter);
    return setting.width() > 3 && typeof cells === 'object' && cells.length === setting.width();
  };
  const overLines = (first: DecodedLine): DelimitedRecord => {
    const taken = [first];
    let text = first.text;
    let cells = splitCells(text, delimiter);
    while (cells === 'open' && taken.length <= quotedLineEnds && text.length <= setting.recordLength) {
      const line = take();
      if (line === undefined) break;
      taken.push(line);
      text = `${text}\n${line.text}`;
      cells = splitCells(text, delimiter);
    }
    if (typeof cells === 'string') {
      ahead.unshift(...taken.slice(1));
      return brokenLine(first, taken.length > 1, delimiter);
    }
    return { ...spanning(taken, isWholeRow), cells, from: cells };
  };
  const split = cellSplitter(delimiter);
  return () => {
    const line = ahead.length > 0 ? ahead.shift() : nextLine();
    if (line === undefined) return undefined;
    const { text, sourceLine, byteOffset } = line;
    if (text.length > setting.recordLength) {
      const cells = [text.slice(0, 200)];
      const at = { sourceLine, byteOffset, faultLine: sourceLine, lines: 1 };
      return { ...at, cells, taken: 0, from: cells, fault: 'too-long' };
    }
    const row = split(text);
    if (typeof row === 'string') return overLines(line);
    const { cells, taken, from } = row;
    const fault = line.isText ? '' : 'not-text';
    return { cells, sourceLine, byteOffset, lines: 1, taken, from, fault, faultLine: sourceLine };
  };
};

/** The one line of a quote that does not close, over others (`isOpen`) or in itself. */
const brokenLine = (
  { text, isText, sourceLine, byteOffset }: DecodedLine,
  isOpen: boolean,
  delimiter: string,
): DelimitedRecord => {
  const cells = cellsBefore(text, delimiter);
  const fault = isOpen || isText ? 'broken' : 'not-text';
  return { cells, sourceLine, byteOffset, lines: 1, taken: 0, from: cells, fault, faultLine: sourceLine };
};

/**
 * What is said of a record over several lines, its cells apart. Quotes are ASCII: which lines they hold together is certain
 * also where a letter is not.
 */
const spanning = (
  lines: readonly DecodedLine[],
  isWholeRow: (text: string) => boolean,
): Omit<DelimitedRecord, 'cells' | 'from'> => {
  const { sourceLine, byteOffset } = lines[0] as DecodedLine;
  const strange = lines.find((line) => !line.isText);
  const swallows = lines.slice(1, -1).some((line) => isWholeRow(line.text));
  const fault = swallows ? 'swallows' : strange === undefined ? '' : 'not-text';
  const faultLine = strange?.sourceLine ?? sourceLine;
  return { sourceLine, byteOffset, lines: lines.length, taken: 0, fault, faultLine };
};

/** The cells before the one that is broken, split without regard to quotes; the broken rest is the last cell. */
const cellsBefore = (text: string, delimiter: string): string[] => {
  const cells: string[] = [];
  let rest = text;
  for (;;) {
    const end = rest.startsWith('"') ? closedEnd(rest, delimiter) : rest.indexOf(delimiter);
    if (end < 0) return [...cells, rest];
    cells.push(
      rest
        .slice(0, end)
        .replace(/^"([\s\S]*)"$/, '$1')
        .replaceAll('""', '"'),
    );
    rest = rest.slice(end + delimiter.length);
  }
};

/** Where a quoted cell at the start of `text` ends before a delimiter; -1 when it does not. */
const closedEnd = (text: string, delimiter: string): number => {
  const match = /^"[^"]*(?:""[^"]*)*"/.exec(text)?.[0] ?? '';
  return match !== '' && text.startsWith(delimiter, match.length) ? match.length : -1;
};
