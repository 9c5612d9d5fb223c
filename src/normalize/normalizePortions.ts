import type { Chain, SenderEntry } from '../catalog/chain.ts';
import type { IngestedTable, Reject } from '../ingest/ingested.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { kilogramsPer } from '../units/weight.ts';
import { type CellReaders, cellReaders } from './cellReaders.ts';
import { exactCopies } from './exactCopies.ts';
import { type KeyFinder, keysOf } from './keyOf.ts';
import type { NormalizedPortion } from './normalized.ts';
import { type GivenBack, holdBack, rowFault, unknownKey } from './rowFaults.ts';
import { spoiledTests } from './spoiledTests.ts';

/** All portions that one file gives for one test, and the number of rows they came in. */
export type PortionVersion = { store: string; testId: string; portions: SentPortion[]; rows: number };
/** A portion with the byte of its row in the file. */
export type SentPortion = NormalizedPortion & { byteOffset: number };
export type NormalizedPortionsFile = GivenBack & { versions: PortionVersion[] };
type Setting = { path: string; cells: CellReaders; output: KeyFinder };

/**
 * Typed lines of one portions file to single pieces in kg. One bad row holds back every portion of its test. Portions that
 * stand in the file twice, the same in every cell, are handed on with their copies, for the lake to count.
 */
export const normalizePortions = (
  path: string,
  table: IngestedTable,
  sender: SenderEntry,
  chain: Chain,
): NormalizedPortionsFile => {
  const setting = { path, cells: cellReaders(table), output: keysOf(chain, sender).output };
  const spoiled = spoiledTests(table, setting.cells);
  const groups = groupedBy(table.lines.runs.keys(), setting.cells.storeAndTest);
  const result: NormalizedPortionsFile = { versions: [], rejects: [], heldBack: [] };
  for (const [key, lines] of groups) {
    const faults = spoiled.has(key) ? [] : faultsOf(lines, setting);
    if (!spoiled.has(key) && faults.length === 0) result.versions.push(versionOf(lines, setting));
    else holdBack(result, lines, faults, setting);
  }
  return result;
};

const versionOf = (lines: readonly number[], { path, cells, output }: Setting): PortionVersion => {
  const { text, quantity } = cells;
  const first = lines[0] as number;
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
      ...cells.at(line),
    })),
    rows: lines.length,
  };
};

/** What is wrong with the portions of a test; of copies that a file holds of them, with each. */
const faultsOf = (lines: readonly number[], setting: Setting): Reject[] => {
  const faults = faultsIn(lines, setting);
  const isRepeated = faults.some(({ code }) => code === 'piece-repeated');
  const copies = isRepeated ? exactCopies(lines, setting.cells) : [lines];
  const isCopied = copies.length > 1 && isNumbered(copies[0] as readonly number[], setting.cells);
  return isCopied ? copies.flatMap((copy) => faultsIn(copy, setting)) : faults;
};

/** Whether an output has two pieces: then its pieces are told apart by number, and one that stands twice is a copy. */
const isNumbered = (lines: readonly number[], { text }: CellReaders): boolean =>
  new Set(lines.map((line) => text(line, 'output'))).size < lines.length;

const faultsIn = (lines: readonly number[], { path, cells, output }: Setting): Reject[] => {
  const { text } = cells;
  const seen = new Set<string>();
  return lines.flatMap((line): Reject[] => {
    const found = text(line, 'output');
    const known = output.find(found);
    if (known === '') return unknownKey(path, cells.at(line), { field: 'output', found }, output);
    const key = `${known}\u0000${text(line, 'piece')}`;
    if (seen.has(key))
      return [
        rowFault(path, cells.at(line), 'piece-repeated', {
          field: 'piece',
          found: text(line, 'piece'),
          expected: 'each piece of an output once',
        }),
      ];
    seen.add(key);
    return [];
  });
};
