import { type RejectCode, rejectCodes } from '../faults/rejectCodes.ts';
import type { Reject } from '../ingest/ingested.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import type { CellReaders } from './cellReaders.ts';
import type { KeyFinder } from './keyOf.ts';

/** A reject of one row, with its remedy from the catalog. */
export const rowFault = (
  path: string,
  at: Pick<Reject, 'sourceLine' | 'byteOffset'>,
  code: RejectCode,
  what: { field: string; found: string; expected: string },
): Reject => ({
  code,
  sourceFile: path,
  sourceLine: at.sourceLine,
  byteOffset: at.byteOffset,
  remedy: rejectCodes[code].remedy,
  ...what,
});

/** Fields whose text must name something known. */
export type KeyField = 'item' | 'grade' | 'output' | 'method' | 'habit' | 'store' | 'region';

/** A text that names nothing known, with the known name that is nearest; none where it names one. */
export const unknownKey = (
  path: string,
  at: Pick<Reject, 'sourceLine' | 'byteOffset'>,
  { field, found }: { field: KeyField; found: string },
  { find, known }: KeyFinder,
): Reject[] => {
  if (find(found) !== '') return [];
  const near = nearestWord(found, known);
  const expected = near === '' ? `a known ${field}` : `a known ${field}; is "${near}" meant?`;
  return [rowFault(path, at, `${field}-unknown`, { field, found, expected })];
};

/** Rows of one file that are given back, with the rejects that say why. */
export type GivenBack = { rejects: Reject[]; heldBack: { sourceLine: number; code: RejectCode }[] };

/** Adds every row of a test of which one is faulty to `result`: the faulty ones by their code, the others as held back. */
export const holdBack = (
  result: GivenBack,
  lines: readonly number[],
  faults: readonly Reject[],
  { path, cells }: { path: string; cells: CellReaders },
): void => {
  for (const one of faults) result.rejects.push(one);
  const codeAt = new Map(faults.map((one) => [one.sourceLine, one.code]));
  for (const line of lines) {
    const { sourceLine } = cells.at(line);
    const code = codeAt.get(sourceLine) ?? 'test-held-back';
    result.heldBack.push({ sourceLine, code });
    if (code === 'test-held-back')
      result.rejects.push(
        rowFault(path, cells.at(line), code, {
          field: 'test_id',
          found: cells.text(line, 'test_id'),
          expected: 'all rows of the test in order',
        }),
      );
  }
};
