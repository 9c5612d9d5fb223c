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
import { type Delivered, type DeliveredSetting, delivered } from './delivered.ts';

type NewFilesInput = { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number };

export type ReadFile = { newFile: NewFile; rejectsFile: RejectsFile };

/**
 * Reads the files that the ledger does not know as they are: one of the same path, size and time is taken as known without
 * reading it again. Files that change meanwhile wait for the next night; a rerun for a past day leaves all that are new, as
 * they were not there then. `seen`: SHA-256 of every file that is there. `before`: the ledger whose days first seen count;
 * `manifest`: that whose files need not be read again.
 */
export const readNew = (
  inbox: readonly InboxEntry[],
  { manifest, before, isRerun }: { manifest: LakeManifest; before: LakeManifest; isRerun: boolean },
  { chainFolder, chain, fs, asOfDay }: NewFilesInput,
): { read: ReadFile[]; seen: Set<string>; waiting: InboxEntry[]; left: string[] } => {
  const known = new Set(manifest.files.map((file) => `${plainBatch(file.batch)} ${file.path}`));
  const asFound = new Map(
    manifest.files.map((file) => [`${file.path} ${file.size} ${file.modifiedMs}`, file.sha256]),
  );
  const seenOn = new Map(before.files.map((file) => [`${file.sha256} ${file.path}`, file.firstSeenDay]));
  const setting = {
    chain,
    ...readSentSchemas(fs),
  };
  const senderFor = senders(chain, before);
  const read: ReadFile[] = [];
  const seen = new Set<string>();
  const waiting: InboxEntry[] = [];
  const left: string[] = [];
  for (const entry of inbox) {
    const sender = senderFor(entry.path);
    const trusted = asFound.get(`${entry.path} ${entry.size} ${entry.modifiedMs}`);
    if (trusted !== undefined) seen.add(trusted);
    if (trusted !== undefined && known.has(`${batchOf(trusted, sender, chain)} ${entry.path}`)) continue;
    const file = readEntry(chainFolder, entry, chain.limits.file_mb * 1e6, fs);
    seen.add(file.sha256);
    const batch = batchOf(file.sha256, sender, chain);
    if (known.has(`${batch} ${entry.path}`)) continue;
    const knownDay = seenOn.get(`${file.sha256} ${entry.path}`);
    if (knownDay === undefined && isRerun) {
      left.push(entry.path);
      continue;
    }
    const firstSeenDay = knownDay ?? asOfDay;
    // a date that had come when the file was first seen has not gone back into the future for a rerun
    const own = readIn(
      file,
      { batch, firstSeenDay, sender },
      { ...setting, asOfDay: Math.max(asOfDay, firstSeenDay) },
    );
    if (readUnchanged(chainFolder, entry, fs)) read.push(own);
    else waiting.push(entry);
  }
  read.sort((a, b) => a.newFile.entry.firstSeenDay - b.newFile.entry.firstSeenDay);
  return { read, seen, waiting, left };
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
    ...(table.state === 'ingested' ? { dialect: { delimiter: table.delimiter, ...table.formats } } : {}),
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
