import type { DecodedLine } from './decodedLines.ts';
import { cellSplitter, splitCells } from './splitCells.ts';

/**
 * One record: its cells, the line and byte it starts at. `fault`: 'broken' = the quoting of this line is wrong and `cells`
 * are what stands before it; 'swallows' = a quoted cell holds what look like whole rows; 'not-text' = not in the encoding.
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
    const { sourceLine, byteOffset } = first;
    if (typeof cells === 'string' || taken.some((line) => !line.isText)) {
      ahead.unshift(...taken.slice(1));
      const fault = taken.length > 1 || first.isText ? 'broken' : 'not-text';
      const before = cellsBefore(first.text, delimiter);
      return { cells: before, sourceLine, byteOffset, lines: 1, taken: 0, from: before, fault };
    }
    const swallows = taken.slice(1, -1).some((line) => isWholeRow(line.text));
    const fault = swallows ? 'swallows' : '';
    return { cells, sourceLine, byteOffset, lines: taken.length, taken: 0, from: cells, fault };
  };
  const split = cellSplitter(delimiter);
  return () => {
    const line = ahead.length > 0 ? ahead.shift() : nextLine();
    if (line === undefined) return undefined;
    const { text, sourceLine, byteOffset } = line;
    if (text.length > setting.recordLength) {
      const cells = [text.slice(0, 200)];
      return { cells, sourceLine, byteOffset, lines: 1, taken: 0, from: cells, fault: 'too-long' };
    }
    const row = split(text);
    if (typeof row === 'string') return overLines(line);
    const { cells, taken, from } = row;
    return { cells, sourceLine, byteOffset, lines: 1, taken, from, fault: line.isText ? '' : 'not-text' };
  };
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
