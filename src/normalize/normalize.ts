import type { Chain, SenderEntry } from '../catalog/chain.ts';
import type { IngestedTable, Reject, TypedLine } from '../ingest/ingested.ts';
import { type CellReaders, cellReaders } from './cellReaders.ts';
import { keysOf } from './keyOf.ts';
import type { NormalizedOutput, NormalizedTest } from './normalized.ts';
import { type NormalizeSetting, normalizedTest } from './normalizedTest.ts';
import { type GivenBack, holdBack, rowFault, unknownKey } from './rowFaults.ts';
import { spoiledTests } from './spoiledTests.ts';
import { tornTests } from './tornTests.ts';

/** One test of one file, whole: the test, its outputs and the number of rows it was sent in. */
export type TestVersion = {
  test: NormalizedTest;
  outputs: NormalizedOutput[];
  rows: number;
  /** Byte of its first row in the file. */
  byteOffset: number;
};
export type NormalizedFile = GivenBack & { versions: TestVersion[] };

/** Typed lines of one file to tests in kg and our keys. One bad row holds back every row of its test. */
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
  const result: NormalizedFile = { versions: [], rejects: [], heldBack: [] };
  for (const [key, lines] of groups) {
    const isSpoiled = spoiled.has(key);
    const faults = isSpoiled ? [] : [...faultsOf(lines, setting), ...(torn.get(key) ?? [])];
    if (!isSpoiled && !torn.has(key) && faults.length === 0)
      result.versions.push({
        ...normalizedTest(lines, setting),
        rows: lines.length,
        byteOffset: (lines[0] as TypedLine).byteOffset,
      });
    else holdBack(result, lines, faults, setting);
  }
  return result;
};

/** Lines by (store, test), in the order of the first line of each; lines that share their fields are taken as one run. */
const grouped = (lines: readonly TypedLine[], cells: CellReaders): Map<string, TypedLine[]> => {
  const groups = new Map<string, TypedLine[]>();
  for (let at = 0; at < lines.length; ) {
    const start = at;
    const { shared } = lines[start] as TypedLine;
    while (at < lines.length && (lines[at] as TypedLine).shared === shared) at++;
    const key = cells.storeAndTest(lines[start] as TypedLine);
    const own = groups.get(key);
    if (own === undefined) groups.set(key, lines.slice(start, at));
    else for (let i = start; i < at; i++) own.push(lines[i] as TypedLine);
  }
  return groups;
};

const isSameTest = (a: TypedLine, b: TypedLine): boolean =>
  a.shared === b.shared || a.shared.every((cell, i) => Object.is(cell, b.shared[i]));

const unknown = (
  line: TypedLine,
  field: 'item' | 'grade' | 'output',
  { path, keys, cells }: NormalizeSetting,
): Reject[] => unknownKey(path, line, { field, found: cells.text(line, field) }, keys[field]);

const faultsOf = (lines: readonly TypedLine[], setting: NormalizeSetting): Reject[] => {
  const { path, cells, isWide } = setting;
  const first = lines[0] as TypedLine;
  const faults = [...unknown(first, 'item', setting), ...unknown(first, 'grade', setting)];
  const repeated = isWide ? lines.slice(1) : [];
  for (const line of repeated)
    faults.push(
      rowFault(path, line, 'test-repeated', {
        field: 'test_id',
        found: cells.text(line, 'test_id'),
        expected: 'one row a test',
      }),
    );
  const ofOutputs = isWide ? wideFaults(first, setting) : longFaults(lines, setting);
  return [...faults, ...ofOutputs];
};

const longFaults = (lines: readonly TypedLine[], setting: NormalizeSetting): Reject[] => {
  const { path, keys, cells } = setting;
  const first = lines[0] as TypedLine;
  const seen = new Set<string>();
  return lines.flatMap((line) => {
    const faults = unknown(line, 'output', setting);
    const output = keys.output.find(cells.text(line, 'output'));
    if (output !== '' && seen.has(output))
      faults.push(
        rowFault(path, line, 'output-repeated', {
          field: 'output',
          found: cells.text(line, 'output'),
          expected: 'each output once',
        }),
      );
    seen.add(output);
    if (!isSameTest(line, first))
      faults.push(
        rowFault(path, line, 'test-fields-differ', {
          field: differingField(line, first, cells),
          found: `row differs from line ${first.sourceLine}`,
          expected: 'the same test fields in all rows',
        }),
      );
    return faults;
  });
};

/** Columns of the wide layout that are no output of the chain, or the same one twice. */
const wideFaults = (line: TypedLine, { path, keys, cells }: NormalizeSetting): Reject[] => {
  const seen = new Set<string>();
  return cells.wideOutputs.flatMap((name) => {
    const weight = cells.quantity(line, `wide:${name}`);
    if (Number.isNaN(weight)) return [];
    const output = keys.output.find(name);
    const code = output === '' ? 'output-unknown' : seen.has(output) ? 'output-repeated' : undefined;
    seen.add(output);
    if (code === undefined) return [];
    return [
      rowFault(path, line, code, {
        field: name,
        found: String(weight),
        expected: 'one column for each output',
      }),
    ];
  });
};

const differingField = (line: TypedLine, first: TypedLine, cells: CellReaders): string =>
  cells.sharedFields.find((_, i) => !Object.is(line.shared[i], first.shared[i])) ?? 'test_id';
