import type { Chain, SenderEntry } from '../catalog/chain.ts';
import { type RejectCode, rejectCodes } from '../faults/rejectCodes.ts';
import type { IngestedTable, Reject, TypedLine } from '../ingest/ingested.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import { type Keys, keysOf } from './keyOf.ts';
import type { NormalizedOutput, NormalizedTest } from './normalized.ts';
import { normalizedTest } from './normalizedTest.ts';

/** One test of one file, whole: the test, its outputs and the rows it was sent in. */
export type TestVersion = {
  test: NormalizedTest;
  outputs: NormalizedOutput[];
  rows: { sourceLine: number; record: readonly string[] }[];
};
export type NormalizedFile = {
  versions: TestVersion[];
  rejects: Reject[];
  heldBack: { sourceLine: number; record: readonly string[]; code: RejectCode }[];
};

/** Typed lines of one file to tests in kg and our keys. One bad row holds back every row of its test. */
export const normalize = (
  path: string,
  table: IngestedTable,
  sender: SenderEntry,
  chain: Chain,
): NormalizedFile => {
  const keys = keysOf(chain, sender);
  const spoiled = new Set(table.refused.map((row) => row.storeAndTest));
  const groups = new Map<string, TypedLine[]>();
  for (const line of table.lines) {
    const key = `${line.values['store']}\u0000${line.values['test_id']}`;
    groups.set(key, [...(groups.get(key) ?? []), line]);
  }
  const result: NormalizedFile = { versions: [], rejects: [], heldBack: [] };
  for (const [key, lines] of groups) {
    const faults = spoiled.has(key) ? [] : faultsOf(path, lines, keys, sender);
    if (!spoiled.has(key) && faults.length === 0) {
      result.versions.push({
        ...normalizedTest(path, lines, keys, chain),
        rows: lines.map(({ sourceLine, record }) => ({ sourceLine, record })),
      });
      continue;
    }
    for (const one of faults) result.rejects.push(one);
    const codeAt = new Map(faults.map((one) => [one.sourceLine, one.code]));
    for (const line of lines) {
      const code = codeAt.get(line.sourceLine) ?? 'test-held-back';
      result.heldBack.push({ sourceLine: line.sourceLine, record: line.record, code });
      if (code === 'test-held-back')
        result.rejects.push(
          rejectAt(path, line, code, {
            field: 'test_id',
            found: String(line.values['test_id']),
            expected: 'all rows of the test in order',
          }),
        );
    }
  }
  return result;
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

const unknown = (
  path: string,
  line: TypedLine,
  code: RejectCode,
  field: 'item' | 'grade' | 'output',
  keys: Keys,
): Reject[] => {
  const text = String(line.values[field] ?? '');
  if (keys[field].find(text) !== '') return [];
  const near = nearestWord(text, keys[field].known);
  return [
    rejectAt(path, line, code, {
      field,
      found: text,
      expected: near === '' ? `a known ${field}` : `a known ${field}; is "${near}" meant?`,
    }),
  ];
};

const testFields = (line: TypedLine): string =>
  JSON.stringify(
    Object.entries(line.values).filter(
      ([name]) => name !== 'output' && name !== 'output_weight' && name !== 'pieces' && name !== 'note',
    ),
  );

const faultsOf = (path: string, lines: readonly TypedLine[], keys: Keys, sender: SenderEntry): Reject[] => {
  const first = lines[0] as TypedLine;
  const isWide = sender.layout === 'wide';
  const faults = [
    ...unknown(path, first, 'item-unknown', 'item', keys),
    ...unknown(path, first, 'grade-unknown', 'grade', keys),
  ];
  const seen = new Set<string>();
  for (const line of lines) {
    if (isWide && line !== first)
      faults.push(
        rejectAt(path, line, 'test-repeated', {
          field: 'test_id',
          found: String(line.values['test_id']),
          expected: 'one row a test',
        }),
      );
    if (isWide) continue;
    for (const one of unknown(path, line, 'output-unknown', 'output', keys)) faults.push(one);
    const output = keys.output.find(String(line.values['output'] ?? ''));
    if (output !== '' && seen.has(output))
      faults.push(
        rejectAt(path, line, 'output-repeated', {
          field: 'output',
          found: output,
          expected: 'each output once',
        }),
      );
    seen.add(output);
    if (testFields(line) !== testFields(first))
      faults.push(
        rejectAt(path, line, 'test-fields-differ', {
          field: 'test_id',
          found: `row differs from line ${first.sourceLine}`,
          expected: 'the same test fields in all rows',
        }),
      );
  }
  return faults;
};
