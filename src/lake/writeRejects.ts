import { stringify } from 'csv-stringify/sync';
import { type RejectCode, rejectCodes } from '../faults/rejectCodes.ts';
import type { Reject } from '../ingest/ingested.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { csvLines } from '../tables/csvLines.ts';

/** A rejects file with nothing to mend: writing it removes the one that is there. */
export const settledRejects = (path: string): RejectsFile => ({
  path,
  delimiter: ',',
  header: [],
  rows: [],
  rejects: [],
});

/** A rejects file with the rows that start on the given lines only. */
export const owedRejects = (file: RejectsFile, lines: ReadonlySet<number>): RejectsFile => ({
  ...file,
  rows: file.rows.filter((row) => lines.has(row.sourceLine)),
});

/** Rows to mend: the sender's own columns untouched and in his own delimiter, then what is wrong with each. */
export type RejectsFile = {
  path: string;
  delimiter: string;
  header: readonly string[];
  rows: { sourceLine: number; record: readonly string[] }[];
  rejects: readonly Reject[];
};

const aboutRow = ['code', 'field', 'message', 'remedy', 'line'];

/**
 * Writes rejects/<path of the sender's file>.rejects.csv for every file that has some, and removes those that are mended.
 * Cells that a row has beyond the columns stand behind what is said of it.
 * UTF-8 with a byte order mark, so that its encoding is told by itself; put into the inbox again it is read as its origin was.
 */
export const writeRejects = (chainFolder: string, files: readonly RejectsFile[], fs: FileSystem): void => {
  for (const file of files) {
    const path = `${chainFolder}/rejects/${file.path.replace(/^inbox\//, '')}.rejects.csv`;
    if (file.rows.length > 0) fs.replace(path, `\ufeff${rejectsText(file)}`);
    else if (fs.exists(path)) fs.remove(path);
  }
};

const rejectsText = ({ delimiter, header, rows, rejects }: RejectsFile): string => {
  const own = senderColumns(header);
  const names = aboutRow.map((name) =>
    own.some((cell) => cell.trim().toLowerCase() === name) ? `reject_${name}` : name,
  );
  const faultAt = new Map<number, Reject>();
  for (const reject of rejects) if (!faultAt.has(reject.sourceLine)) faultAt.set(reject.sourceLine, reject);
  const records = rows.map(({ sourceLine, record }) => {
    const fault = faultAt.get(sourceLine);
    const code: RejectCode = fault?.code ?? 'test-held-back';
    const { message, remedy } = rejectCodes[code];
    const about = [code, fault?.field ?? '', message, remedy, String(sourceLine)];
    return [...own.map((_, i) => record[i] ?? ''), ...about, ...record.slice(header.length)];
  });
  return stringify([[...own, ...names], ...records], { delimiter, ...csvLines });
};

/** The header without what an earlier rejects file added to it. */
const senderColumns = (header: readonly string[]): readonly string[] => {
  const tail = header.slice(-aboutRow.length).map((cell) => cell.trim().toLowerCase());
  return tail.length === aboutRow.length && tail.every((cell, i) => cell === aboutRow[i])
    ? header.slice(0, -aboutRow.length)
    : header;
};
