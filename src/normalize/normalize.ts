import type { Chain, SenderEntry } from '../catalog/chain.ts';
import type { IngestedTable, Reject, TypedLines } from '../ingest/ingested.ts';
import { type CellReaders, cellReaders } from './cellReaders.ts';
import { differingRows } from './differingRows.ts';
import { exactCopies } from './exactCopies.ts';
import { keysOf } from './keyOf.ts';
import { type NormalizeSetting, normalizedTests } from './normalizedTests.ts';
import { type GivenBack, holdBack, rowFault, unknownKey } from './rowFaults.ts';
import { spoiledTests } from './spoiledTests.ts';
import { tornTests } from './tornTests.ts';
import type { VersionTable } from './versionTable.ts';

export type NormalizedFile = GivenBack & { versions: VersionTable };

/**
 * Typed lines of one file to tests in kg and our keys. One bad row holds back every row of its test. A test that stands in
 * the file twice, the same in every cell, is as many versions of the test.
 */
export const normalize = (
  path: string,
  table: IngestedTable,
  sender: SenderEntry,
  chain: Chain,
): NormalizedFile => {
  const setting = {
    path,
    keys: keysOf(chain, sender),
    cells: cellReaders(table),
    isWide: sender.layout === 'wide',
  };
  const groups = grouped(table.lines, setting.cells);
  const spoiled = spoiledTests(table, setting.cells);
  const torn = setting.isWide ? new Map<string, Reject[]>() : tornTests(table.lines, groups, setting);
  const given: GivenBack = { rejects: [], heldBack: [] };
  const whole: (readonly number[])[] = [];
  for (const [key, lines] of groups) {
    const { copies, faults } = spoiled.has(key) ? { copies: [], faults: [] } : judged(lines, setting);
    const slips = spoiled.has(key) ? undefined : torn.get(key);
    if (copies.length > 0 && faults.length === 0 && slips === undefined)
      for (const copy of copies) whole.push(copy);
    else holdBack(given, lines, [...faults, ...(slips ?? [])], setting);
  }
  return { ...given, versions: normalizedTests(whole, setting) };
};

/** Places of lines by (store, test), in the order of the first line of each; lines that share their fields are taken as one run. */
const grouped = ({ runs }: TypedLines, cells: CellReaders): Map<string, number[]> => {
  const groups = new Map<string, number[]>();
  let own: number[] = [];
  for (let line = 0; line < runs.length; line++) {
    if (line === 0 || runs[line] !== runs[line - 1]) {
      const key = cells.storeAndTest(line);
      own = groups.get(key) ?? [];
      if (own.length === 0) groups.set(key, own);
    }
    own.push(line);
  }
  return groups;
};

const unknown = (
  line: number,
  field: 'item' | 'grade' | 'output',
  { path, keys, cells }: NormalizeSetting,
): Reject[] => unknownKey(path, cells.at(line), { field, found: cells.text(line, field) }, keys[field]);

/** The copies that a file holds of a test, mostly one, and what is wrong with them. */
const judged = (
  lines: readonly number[],
  setting: NormalizeSetting,
): { copies: (readonly number[])[]; faults: Reject[] } => {
  const faults = faultsOf(lines, setting);
  const isRepeated = faults.some(({ code }) => code === 'output-repeated' || code === 'test-repeated');
  const isCopied = isRepeated && (setting.isWide || isTooHeavy(lines, setting.cells));
  const copies = isCopied ? exactCopies(lines, setting.cells) : [lines];
  return copies.length > 1
    ? { copies, faults: copies.flatMap((copy) => faultsOf(copy, setting)) }
    : { copies, faults };
};

/**
 * Whether the lines of a test weigh more than there was to cut, all in its own unit. A line that stands twice could be a
 * second line of its output, a copy it is for certain only then.
 */
const isTooHeavy = (lines: readonly number[], { quantity }: CellReaders): boolean => {
  const orNone = (weight: number): number => (Number.isNaN(weight) ? 0 : weight);
  const outputs = lines.reduce((sum, line) => sum + orNone(quantity(line, 'output_weight')), 0);
  const first = lines[0] as number;
  return outputs > quantity(first, 'received_weight') + orNone(quantity(first, 'added_weight'));
};

const faultsOf = (lines: readonly number[], setting: NormalizeSetting): Reject[] => {
  const { path, cells, isWide } = setting;
  const first = lines[0] as number;
  const faults = [...unknown(first, 'item', setting), ...unknown(first, 'grade', setting)];
  const repeated = isWide ? lines.slice(1) : [];
  for (const line of repeated)
    faults.push(
      rowFault(path, cells.at(line), 'test-repeated', {
        field: 'test_id',
        found: cells.text(line, 'test_id'),
        expected: 'one row a test',
      }),
    );
  const ofOutputs = isWide ? wideFaults(first, setting) : longFaults(lines, setting);
  return [...faults, ...ofOutputs];
};

const longFaults = (lines: readonly number[], setting: NormalizeSetting): Reject[] => {
  const { path, keys, cells } = setting;
  const seen = new Set<string>();
  // first, as an output of another test under the same id is no line to add
  const faults = differingRows(lines, path, cells);
  for (const line of lines) {
    const found = cells.text(line, 'output');
    const output = keys.output.find(found);
    if (output === '') faults.push(...unknown(line, 'output', setting));
    else if (seen.has(output))
      faults.push(
        rowFault(path, cells.at(line), 'output-repeated', {
          field: 'output',
          found,
          expected: 'each output once',
        }),
      );
    seen.add(output);
  }
  return faults;
};

/** Columns of the wide layout that are no output of the chain, or the same one twice. */
const wideFaults = (line: number, { path, keys, cells }: NormalizeSetting): Reject[] => {
  const seen = new Set<string>();
  return cells.wideOutputs.flatMap((name) => {
    const weight = cells.quantity(line, `wide:${name}`);
    if (Number.isNaN(weight)) return [];
    const output = keys.output.find(name);
    const code = output === '' ? 'output-unknown' : seen.has(output) ? 'output-repeated' : undefined;
    seen.add(output);
    if (code === undefined) return [];
    return [
      rowFault(path, cells.at(line), code, {
        field: name,
        found: String(weight),
        expected: 'one column for each output',
      }),
    ];
  });
};
