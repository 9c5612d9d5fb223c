import type { Chain, SenderEntry } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import { ingest } from '../src/ingest/ingest.ts';
import type { Delivery, IngestedTable, Reject } from '../src/ingest/ingested.ts';
import { readReferenceFiles } from '../src/ingest/readReferenceFiles.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import { recordsAt } from '../src/ingest/recordsAt.ts';
import { senderOf } from '../src/ingest/senderOf.ts';
import type { LakeManifest, ReferenceEvent } from '../src/lake/ledger.ts';
import { latestDayOf } from '../src/lake/nextLedger.ts';
import { readReference } from '../src/lake/readLake.ts';
import { referenceInForce } from '../src/lake/referenceInForce.ts';
import type { RejectsFile } from '../src/lake/writeRejects.ts';
import type { NormalizedNight } from '../src/normalize/normalized.ts';
import { normalizeReference } from '../src/normalize/normalizeReference.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';

export type ReferenceIntake = {
  tables: NormalizedNight['reference'];
  rejects: Reject[];
  /** None of a rerun for a past day: what is to be mended is what is in the folder now. */
  rejectsFiles: RejectsFile[];
  events: ReferenceEvent[];
  /** New contents to keep for reruns of past days, by SHA-256. */
  contents: Map<string, Uint8Array>;
  /** Paths of tables that a rerun for a past day leaves for the next night. */
  left: string[];
};

/** The reference tables in force on the day: those in the folder, or for a past day what had been seen by then. */
export const takeInReference = (
  before: LakeManifest,
  { chainFolder, chain, fs, asOfDay }: { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number },
): ReferenceIntake => {
  const files = readReferenceFiles(chainFolder, fs);
  if (!files.some(({ table }) => table === 'prices'))
    throw new OperatorError(
      `no reference/prices.csv in ${chainFolder}; money needs retail prices`,
      exitCodes.noInput,
    );
  const current = files.map(({ table, file }) => ({ table, sha256: file.sha256 }));
  const events = before.reference ?? [];
  const isRerun = asOfDay < latestDayOf(before);
  const inForce = referenceInForce(events, current, { asOfDay, isRerun });
  const contents = new Map(files.map(({ file }) => [file.sha256, file.bytes]));
  const read = new Map(
    [...inForce.shaOf]
      .filter(([, sha256]) => sha256 !== '')
      .map(([table, sha256]) => {
        const bytes = contents.get(sha256) ?? readReference(chainFolder, sha256, fs);
        return [table, readTable(table, bytes, chain, { fs, asOfDay })] as const;
      }),
  );
  const { tables, rejects } = normalizeReference(read, chain);
  const rejectsOf = ({ path, table }: ReadTable): Reject[] => [
    ...table.rejects,
    ...rejects.filter((one) => one.sourceFile === path),
  ];
  return {
    tables,
    rejects: [...read.values()].flatMap(rejectsOf),
    rejectsFiles: isRerun ? [] : [...read.values()].map((one) => rejectsFileOf(one, rejectsOf(one), chain)),
    events: inForce.events,
    contents: new Map(
      [...contents].filter(([sha256]) => !isRerun && !events.some((event) => event.sha256 === sha256)),
    ),
    left: inForce.left.map((table) => `reference/${table}.csv`),
  };
};

/**
 * One reference table as a night would read it: its state, rows, and every row it would refuse. Stores and regions are held
 * against the stores table in the chain's folder.
 */
export const checkedReference = (
  name: string,
  bytes: Uint8Array,
  { chainFolder, chain, fs, asOfDay }: { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number },
): Pick<IngestedTable, 'state' | 'rowsRead' | 'rejects'> => {
  const read = readTable(name, bytes, chain, { fs, asOfDay });
  const stores = readReferenceFiles(chainFolder, fs).find(({ table }) => table === 'stores')?.file.bytes;
  const beside =
    stores === undefined ? [] : [['stores', readTable('stores', stores, chain, { fs, asOfDay })] as const];
  const { rejects } = normalizeReference(new Map([...beside, [name, read]]), chain);
  const own = rejects.filter((one) => one.sourceFile === read.path);
  return { ...read.table, rejects: [...read.table.rejects, ...own] };
};

/** Reference tables are the operator's own: decimal point and ISO dates, unless a sender entry of theirs says otherwise. */
const senderOfTable = (path: string, senders: readonly SenderEntry[]): SenderEntry => ({
  decimal: '.',
  dates: 'ymd',
  ...senderOf(
    path,
    senders.filter((sender) => sender.files.startsWith('reference/')),
  ),
});

type ReadTable = Omit<Delivery, 'size'> & { table: IngestedTable };

const readTable = (
  name: string,
  bytes: Uint8Array,
  chain: Chain,
  { fs, asOfDay }: { fs: FileSystem; asOfDay: number },
): ReadTable => {
  const path = `reference/${name}.csv`;
  const sender = senderOfTable(path, chain.senders);
  const delivery = { path, bytes, sender, fields: readSchemaFields(name, fs) };
  return { ...delivery, table: ingest(delivery, { limits: chain.limits, asOfDay }) };
};

const rejectsFileOf = ({ table, ...delivery }: ReadTable, rejects: Reject[], chain: Chain): RejectsFile => {
  const lines = new Set([...table.refused, ...rejects].map((row) => row.sourceLine));
  const rows = [...recordsAt(delivery, lines, chain.limits)].map(([sourceLine, record]) => ({
    sourceLine,
    record,
  }));
  const { delimiter, header } = table;
  return { path: delivery.path, delimiter, header, rows, rejects };
};
