import type { Chain, SenderEntry } from '../src/catalog/chain.ts';
import {
  type InboxEntry,
  type InboxFile,
  readEntry,
  readOne,
  readUnchanged,
} from '../src/ingest/readInbox.ts';
import { readSentSchemas } from '../src/ingest/readSchemaFields.ts';
import { mendedPath, senderOf } from '../src/ingest/senderOf.ts';
import type { NewFile } from '../src/lake/lakeRows.ts';
import type { LakeManifest, LedgerEntry } from '../src/lake/ledger.ts';
import { plainBatch } from '../src/lake/nextLedger.ts';
import type { RejectsFile } from '../src/lake/writeRejects.ts';
import { contentHash } from '../src/system/contentHash.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { groupedBy } from '../src/tables/groupedBy.ts';
import { type Delivered, type DeliveredSetting, delivered } from './delivered.ts';

type NewFilesInput = { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number };

export type ReadFile = { newFile: NewFile; rejectsFile: RejectsFile };

/** A file to be read, as plain data that a worker can be given: its sender, and what the ledger knows under its path. */
export type AskedFile = {
  entry: InboxEntry;
  sender: SenderEntry;
  /** Batches that need not be read again, and the days first seen by SHA-256. */
  knownBatches: readonly string[];
  seenOn: Readonly<Record<string, number>>;
};
export type ReadingSetting = DeliveredSetting & { chainFolder: string; isRerun: boolean };
/** `known`: in the ledger as it is; `left`: new on a rerun; `waiting`: changed while it was read. */
export type AnsweredFile =
  | { state: 'known' | 'left' | 'waiting'; entry: InboxEntry; sha256: string }
  | { state: 'read'; entry: InboxEntry; sha256: string; read: ReadFile };

/**
 * The files that the ledger does not know as they are: one of the same path, size and time is taken as known without reading
 * it again. `seen`: SHA-256 of those. `before`: the ledger whose days first seen count; `manifest`: that whose files need not
 * be read again.
 */
export const filesToRead = (
  inbox: readonly InboxEntry[],
  { manifest, before }: { manifest: LakeManifest; before: LakeManifest },
  chain: Chain,
): { asked: AskedFile[]; seen: string[] } => {
  const known = groupedBy(manifest.files, ({ path }) => path);
  const seenOn = groupedBy(before.files, ({ path }) => path);
  const senderFor = senders(chain, before);
  const seen: string[] = [];
  const asked = inbox.flatMap((entry): AskedFile[] => {
    const own = known.get(entry.path) ?? [];
    const sender = senderFor(entry.path);
    const knownBatches = own.map(({ batch }) => plainBatch(batch));
    const trusted = own.findLast(
      ({ size, modifiedMs }) => size === entry.size && modifiedMs === entry.modifiedMs,
    );
    if (trusted !== undefined) {
      seen.push(trusted.sha256);
      if (knownBatches.includes(batchOf(trusted.sha256, sender, chain))) return [];
    }
    const days = (seenOn.get(entry.path) ?? []).map(({ sha256, firstSeenDay }) => [sha256, firstSeenDay]);
    return [{ entry, sender, knownBatches, seenOn: Object.fromEntries(days) }];
  });
  return { asked, seen };
};

/** Reads one file. A rerun for a past day leaves what is new, as it was not there then. */
export const readAsked = (
  { entry, sender, knownBatches, seenOn }: AskedFile,
  setting: ReadingSetting,
  fs: FileSystem,
): AnsweredFile => {
  const { chainFolder, chain, asOfDay, isRerun } = setting;
  const file = readEntry(chainFolder, entry, chain.limits.file_mb * 1e6, fs);
  const { sha256 } = file;
  const batch = batchOf(sha256, sender, chain);
  if (knownBatches.includes(batch)) return { state: 'known', entry, sha256 };
  const knownDay = seenOn[sha256];
  if (knownDay === undefined && isRerun) return { state: 'left', entry, sha256 };
  const firstSeenDay = knownDay ?? asOfDay;
  // a date that had come when the file was first seen has not gone back into the future for a rerun
  const read = readIn(
    file,
    { batch, firstSeenDay, sender },
    { ...setting, asOfDay: Math.max(asOfDay, firstSeenDay) },
  );
  return readUnchanged(chainFolder, entry, fs)
    ? { state: 'read', entry, sha256, read }
    : { state: 'waiting', entry, sha256 };
};

/** The rejects file of a file that is known, read again where the inbox still has its bytes; undefined where it has not. */
export const rejectsAgain = (
  { path, sha256, batch, firstSeenDay }: LedgerEntry,
  before: LakeManifest,
  { chainFolder, chain, fs, asOfDay }: NewFilesInput,
): RejectsFile | undefined => {
  if (!fs.exists(`${chainFolder}/${path}`)) return undefined;
  const file = readOne(`${chainFolder}/${path}`, path, fs);
  if (file.sha256 !== sha256) return undefined;
  const sender = senders(chain, before)(path);
  const setting = { chain, ...readSentSchemas(fs), asOfDay: Math.max(asOfDay, firstSeenDay) };
  return readIn(file, { batch, firstSeenDay, sender }, setting).rejectsFile;
};

/** The sender of a path; a mended rejects file is read in the dialect of the file it came from. */
const senders = (chain: Chain, { files }: LakeManifest): ((path: string) => SenderEntry) => {
  const dialectOf = new Map(files.map((file) => [file.path, file.dialect]));
  return (path) => {
    const sender = senderOf(path.replace('inbox/', ''), chain.senders);
    const origin = mendedPath(path);
    return origin === path ? sender : { ...dialectOf.get(origin), ...sender };
  };
};

/** Names what a file brings: its bytes and all that decides how they are read. */
const batchOf = (sha256: string, sender: SenderEntry, chain: Chain): string =>
  contentHash(
    JSON.stringify([sha256, chain.items, chain.outputs, chain.methods, chain.grades, sender]),
  ).slice(0, 16);

const readIn = (
  file: InboxFile,
  { batch, firstSeenDay, sender }: { batch: string; firstSeenDay: number; sender: SenderEntry },
  setting: DeliveredSetting,
): ReadFile => {
  const own = delivered(file, setting, sender);
  const { table, givenBack, rejects } = own;
  const entry: LedgerEntry = {
    batch,
    sha256: file.sha256,
    path: file.path,
    sender: sender.name,
    state: table.state,
    rowsRead: table.rowsRead,
    blank: table.blank,
    ignored: table.ignored,
    rejected: table.state === 'quarantined' ? table.rowsRead : givenBack.length,
    firstSeenDay,
    modifiedMs: file.modifiedMs,
    size: file.size,
    ...(table.state === 'ingested' ? { dialect: table.formats } : {}),
    rejects,
    ...(table.mendedLines === undefined ? {} : { mendedLines: table.mendedLines }),
    ...(isRefusedWhole(own) ? { refusedStores: table.stores } : {}),
  };
  const { delimiter, header } = table;
  return {
    newFile: { entry, versions: own.versions, portions: own.portions },
    rejectsFile: { path: file.path, delimiter, header, rows: givenBack, rejects },
  };
};

/** Whether no row of a file was taken though there was something to take, or it could not be read at all. */
const isRefusedWhole = ({ table, givenBack }: Delivered): boolean =>
  table.state === 'quarantined' ||
  (givenBack.length > 0 && givenBack.length === table.rowsRead - table.blank - table.ignored);
