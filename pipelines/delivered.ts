import type { Chain, SenderEntry } from '../src/catalog/chain.ts';
import { ingest } from '../src/ingest/ingest.ts';
import type { IngestedTable, NamedFields, Reject, SchemaField } from '../src/ingest/ingested.ts';
import { misplacedTable } from '../src/ingest/misplacedTable.ts';
import { recordsAt } from '../src/ingest/recordsAt.ts';
import { senderOf } from '../src/ingest/senderOf.ts';
import { type NormalizedFile, normalize } from '../src/normalize/normalize.ts';
import { normalizePortions, type PortionVersion } from '../src/normalize/normalizePortions.ts';

export type Delivered = {
  table: IngestedTable;
  versions: NormalizedFile['versions'];
  portions: PortionVersion[];
  /** Rows refused or held back with their test, as sent, in the order of the file. */
  givenBack: { sourceLine: number; record: readonly string[] }[];
  rejects: Reject[];
};
export type DeliveredSetting = {
  chain: Chain;
  tests: readonly SchemaField[];
  portions: readonly SchemaField[];
  /** The reference tables, by which one that was put into inbox/ is told. */
  tables: readonly NamedFields[];
  asOfDay: number;
};

/** One file below inbox/: cutting tests, or portions where its columns say so. `path` is as reported, inbox/... Pure. */
export const delivered = (
  { path, bytes, size }: { path: string; bytes: Uint8Array; size?: number },
  { chain, tests, portions, tables, asOfDay }: DeliveredSetting,
  given?: SenderEntry,
): Delivered => {
  const sender = given ?? senderOf(path.replace(/^inbox\//, ''), chain.senders);
  const { limits, outputs } = chain;
  // a portion is a row of its own, also where the sender's tests are wide
  const deliveryOf = (fields: readonly SchemaField[]) => ({
    ...{ path, bytes, fields, outputs },
    sender: fields === portions ? { ...sender, layout: 'long' as const } : sender,
  });
  const read = (fields: readonly SchemaField[]): IngestedTable =>
    ingest({ ...deliveryOf(fields), size: size ?? bytes.byteLength }, { limits, asOfDay });
  const givenBack = (
    fields: readonly SchemaField[],
    table: IngestedTable,
    heldBack: NormalizedFile['heldBack'],
  ): Delivered['givenBack'] => {
    const lines = new Set([...table.refused, ...heldBack].map((row) => row.sourceLine));
    const records = recordsAt(deliveryOf(fields), lines, limits);
    return [...records].map(([sourceLine, record]) => ({ sourceLine, record }));
  };
  const table = read(tests);
  const other = lacksColumns(table) ? read(portions) : table;
  const normalized = normalize(path, table, sender, chain);
  const misplaced =
    lacksColumns(table) &&
    other.state === 'quarantined' &&
    misplacedTable(table, deliveryOf(tests), { sent: [tests, portions], tables });
  if (misplaced) {
    // the stores that it names have not sent it
    const named = { ...table, stores: [], rejects: [misplaced] };
    return { table: named, versions: normalized.versions, portions: [], givenBack: [], rejects: [misplaced] };
  }
  if (other !== table && (!lacksColumns(other) || lacking(other) < lacking(table))) {
    const portioned = normalizePortions(path, other, sender, chain);
    return {
      table: other,
      versions: normalized.versions,
      portions: portioned.versions,
      givenBack: givenBack(portions, other, portioned.heldBack),
      rejects: [...other.rejects, ...portioned.rejects],
    };
  }
  return {
    table,
    versions: normalized.versions,
    portions: [],
    givenBack: givenBack(tests, table, normalized.heldBack),
    rejects: [...table.rejects, ...normalized.rejects],
  };
};

const lacksColumns = (table: IngestedTable): boolean => table.rejects[0]?.code === 'column-missing';

const lacking = (table: IngestedTable): number => (table.rejects[0]?.expected ?? '').split(',').length;
