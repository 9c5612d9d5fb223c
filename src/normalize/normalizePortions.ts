import type { Chain, SenderEntry } from '../catalog/chain.ts';
import { type RejectCode, rejectCodes } from '../faults/rejectCodes.ts';
import type { IngestedTable, Reject, TypedLine } from '../ingest/ingested.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import { kilogramsPer } from '../units/weight.ts';
import { type KeyFinder, keysOf } from './keyOf.ts';
import type { NormalizedPortion } from './normalized.ts';

/** All portions that one file gives for one test, and the number of rows they came in. */
export type PortionVersion = { store: string; testId: string; portions: NormalizedPortion[]; rows: number };
export type NormalizedPortionsFile = {
  versions: PortionVersion[];
  rejects: Reject[];
  heldBack: { sourceLine: number; record: readonly string[]; code: RejectCode }[];
};

const text = (line: TypedLine, name: string): string => String(line.values[name] ?? '');
const quantity = (line: TypedLine, name: string): number =>
  typeof line.values[name] === 'number' ? (line.values[name] as number) : Number.NaN;

/** Typed lines of one portions file to single pieces in kg. One bad row holds back every portion of its test. */
export const normalizePortions = (
  path: string,
  table: IngestedTable,
  sender: SenderEntry,
  chain: Chain,
): NormalizedPortionsFile => {
  const { output } = keysOf(chain, sender);
  const spoiled = new Set(table.refused.map((row) => row.storeAndTest));
  const groups = new Map<string, TypedLine[]>();
  for (const line of table.lines) {
    const key = `${text(line, 'store')}\u0000${text(line, 'test_id')}`;
    const own = groups.get(key);
    if (own === undefined) groups.set(key, [line]);
    else own.push(line);
  }
  const result: NormalizedPortionsFile = { versions: [], rejects: [], heldBack: [] };
  for (const [key, lines] of groups) {
    const faults = spoiled.has(key) ? [] : faultsOf(path, lines, output);
    if (!spoiled.has(key) && faults.length === 0) result.versions.push(versionOf(path, lines, output));
    else holdBack(path, lines, faults, result);
  }
  return result;
};

const versionOf = (path: string, lines: readonly TypedLine[], output: KeyFinder): PortionVersion => {
  const first = lines[0] as TypedLine;
  return {
    store: text(first, 'store'),
    testId: text(first, 'test_id'),
    portions: lines.map((line) => ({
      store: text(line, 'store'),
      testId: text(line, 'test_id'),
      output: output.find(text(line, 'output')),
      piece: text(line, 'piece'),
      weightKg: quantity(line, 'weight') * kilogramsPer(text(line, 'unit')),
      thicknessIn: quantity(line, 'thickness_in'),
      sourceFile: path,
      sourceLine: line.sourceLine,
    })),
    rows: lines.length,
  };
};

const faultsOf = (path: string, lines: readonly TypedLine[], output: KeyFinder): Reject[] => {
  const seen = new Set<string>();
  return lines.flatMap((line): Reject[] => {
    const found = text(line, 'output');
    const known = output.find(found);
    if (known === '') {
      const near = nearestWord(found, output.known);
      const expected = near === '' ? 'a known output' : `a known output; is "${near}" meant?`;
      return [rejectAt(path, line, 'output-unknown', { field: 'output', found, expected })];
    }
    const key = `${known}\u0000${text(line, 'piece')}`;
    if (seen.has(key))
      return [
        rejectAt(path, line, 'piece-repeated', {
          field: 'piece',
          found: text(line, 'piece'),
          expected: 'each piece of an output once',
        }),
      ];
    seen.add(key);
    return [];
  });
};

/** Adds the rows of a spoiled test to the result's rejects and rows held back. */
const holdBack = (
  path: string,
  lines: readonly TypedLine[],
  faults: readonly Reject[],
  result: NormalizedPortionsFile,
): void => {
  for (const one of faults) result.rejects.push(one);
  const codeAt = new Map(faults.map((one) => [one.sourceLine, one.code]));
  for (const line of lines) {
    const code = codeAt.get(line.sourceLine) ?? 'test-held-back';
    result.heldBack.push({ sourceLine: line.sourceLine, record: line.record, code });
    if (code === 'test-held-back')
      result.rejects.push(
        rejectAt(path, line, code, {
          field: 'test_id',
          found: text(line, 'test_id'),
          expected: 'all rows of the test in order',
        }),
      );
  }
};

const rejectAt = (
  path: string,
  line: TypedLine,
  code: RejectCode,
  what: { field: string; found: string; expected: string },
): Reject => ({
  code,
  sourceFile: path,
  sourceLine: line.sourceLine,
  byteOffset: line.byteOffset,
  remedy: rejectCodes[code].remedy,
  ...what,
});
