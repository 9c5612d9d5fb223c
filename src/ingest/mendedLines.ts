import type { DelimitedRecord } from './splitRecords.ts';

/** What a rejects file calls the line of the sender's file; the last one where a rejects file came back once more. */
const lineName = /^(?:reject_)?line$/i;

/**
 * Gathers the lines of the sender's file that the rows of its mended rejects file bring back, as its last column `line` says;
 * `lines` is undefined for any other file, and where that column was taken out.
 */
export const mendedLines = (
  path: string,
  header: readonly string[],
): { lines: number[] | undefined; see: (record: DelimitedRecord) => void } => {
  const at = header.map((name) => lineName.test(name.trim())).lastIndexOf(true);
  if (at < 0 || !/\.rejects\.csv$/i.test(path)) return { lines: undefined, see: () => {} };
  const lines: number[] = [];
  const see = ({ cells }: DelimitedRecord): void => {
    const text = (cells[at] ?? '').trim();
    if (/^\d{1,15}$/.test(text)) lines.push(Number(text));
  };
  return { lines, see };
};
