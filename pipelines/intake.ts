import type { Chain, SenderEntry } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import type { IntakeRow, Reject } from '../src/ingest/ingested.ts';
import {
  type InboxEntry,
  type InboxFile,
  readEntry,
  readInbox,
  readUnchanged,
} from '../src/ingest/readInbox.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import { mendedPath, senderOf } from '../src/ingest/senderOf.ts';
import { lake } from '../src/lake/lake.ts';
import { merged, type NewFile, newRows, rowsWithout, storedRows } from '../src/lake/lakeRows.ts';
import type { LakeManifest, LedgerEntry } from '../src/lake/ledger.ts';
import { copiesMarked, nextLedger, plainBatch, rowsHeld } from '../src/lake/nextLedger.ts';
import { plannedParts } from '../src/lake/plannedParts.ts';
import { readManifest, readParts } from '../src/lake/readLake.ts';
import { firstDayKept, retained } from '../src/lake/retained.ts';
import { writeLake } from '../src/lake/writeLake.ts';
import { type RejectsFile, settledRejects, writeRejects } from '../src/lake/writeRejects.ts';
import type { NormalizedNight } from '../src/normalize/normalized.ts';
import { contentHash } from '../src/system/contentHash.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { counted } from '../src/units/counted.ts';
import { type Delivered, type DeliveredSetting, delivered } from './delivered.ts';
import { takeInReference } from './referenceIntake.ts';

export type IntakeInput = {
  chainFolder: string;
  chain: Chain;
  fs: FileSystem;
  asOfDay: number;
  /** Reads every file again as if there were no lake; days first seen are kept where the ledger can be read. */
  rebuild?: { dropMissing: boolean } | undefined;
};
export type Intake = {
  night: NormalizedNight;
  intake: IntakeRow[];
  rejects: Reject[];
  filesIngested: number;
  /** First day whose tests are kept; -Infinity = all are. */
  firstDay: number;
  /** Writes lake parts, ledger and rejects files. Nothing is written before. */
  commit: () => void;
};

/** From the operator's folder to normalized tables: only files not yet in the ledger are read in. */
export const takeIn = (input: IntakeInput): Intake => {
  const { chainFolder, chain, fs, asOfDay, rebuild } = input;
  const inbox = readInbox(chainFolder, fs);
  if (!inbox.some(({ path }) => /\.csv$/i.test(path)))
    throw new OperatorError(
      `no CSV files in ${chainFolder}/inbox; put the stores' files there`,
      exitCodes.noInput,
    );
  const before = readManifest(chainFolder, fs, rebuild !== undefined);
  const manifest: LakeManifest = rebuild === undefined ? before : { ...before, files: [], parts: [] };
  const { read, seen, waiting } = readNew(inbox, manifest, before, input);
  if (rebuild?.dropMissing === false) refuseToLose(before, seen);
  const fresh = copiesMarked(
    read.map((one) => one.newFile),
    manifest.files,
  );
  const reference = takeInReference(before.reference ?? [], input);
  const ledger = { ...nextLedger(manifest, fresh), reference: reference.events };
  const added = newRows(fresh);
  const batches = new Set(ledger.files.map((file) => file.batch));
  // what a file brought before its reading changed, and changed back, is in the parts already: it is taken from the file
  const stored = rowsWithout(
    storedRows(readParts(chainFolder, manifest, fs), batches),
    new Set(fresh.map((file) => file.entry.batch)),
  );
  const firstDay = firstDayKept(asOfDay, chain.retention.months);
  const kept = retained(merged(stored.rows, added), ledger, {
    beforeDay: firstDay,
    cutters: new Set(chain.removed_cutters),
  });
  const { files } = kept.manifest;
  const current = lake(
    kept.rows,
    files.filter((file) => file.firstSeenDay <= asOfDay),
    chain,
  );
  const isNew =
    fresh.length > 0 || kept.isLedgerCut || reference.events.length > (before.reference ?? []).length;
  return {
    night: {
      tests: current.tests,
      outputs: current.outputs,
      portions: current.portions,
      reference: reference.tables,
      refusedFiles: current.refusedFiles,
    },
    intake: [...current.intake, ...waiting.map(waitingRow)],
    rejects: [...current.rejects, ...reference.rejects],
    filesIngested: fresh.length,
    firstDay,
    commit: () => {
      if (!isNew) return;
      const settled = kept.settledPaths.map(settledRejects);
      writeRejects(
        chainFolder,
        [...read.map((one) => one.rejectsFile), ...settled, ...reference.rejectsFiles],
        fs,
      );
      const addition =
        kept.isCut || stored.isLess
          ? { manifest: { ...kept.manifest, parts: [] }, planned: plannedParts(kept.rows, files) }
          : { manifest: kept.manifest, planned: plannedParts(added, files) };
      writeLake(chainFolder, { ...addition, reference: reference.contents }, before.generation, fs);
    },
  };
};

type ReadFile = { newFile: NewFile; rejectsFile: RejectsFile };

/**
 * Reads the files that the ledger does not know as they are: one of the same path, size and time is taken as known without
 * reading it again. Files that change meanwhile wait for the next night. `seen`: SHA-256 of every file that is there.
 */
const readNew = (
  inbox: readonly InboxEntry[],
  manifest: LakeManifest,
  before: LakeManifest,
  { chainFolder, chain, fs, asOfDay }: IntakeInput,
): { read: ReadFile[]; seen: Set<string>; waiting: InboxEntry[] } => {
  const known = new Set(manifest.files.map((file) => `${plainBatch(file.batch)} ${file.path}`));
  const asFound = new Map(
    manifest.files.map((file) => [`${file.path} ${file.size} ${file.modifiedMs}`, file.sha256]),
  );
  const seenOn = new Map(before.files.map((file) => [`${file.sha256} ${file.path}`, file.firstSeenDay]));
  const setting = {
    chain,
    tests: readSchemaFields('cutting-tests', fs),
    portions: readSchemaFields('portions', fs),
    asOfDay,
  };
  const senderFor = senders(chain, before);
  const read: ReadFile[] = [];
  const seen = new Set<string>();
  const waiting: InboxEntry[] = [];
  for (const entry of inbox) {
    const sender = senderFor(entry.path);
    const trusted = asFound.get(`${entry.path} ${entry.size} ${entry.modifiedMs}`);
    if (trusted !== undefined) seen.add(trusted);
    if (trusted !== undefined && known.has(`${batchOf(trusted, sender, chain)} ${entry.path}`)) continue;
    const file = readEntry(chainFolder, entry, chain.limits.file_mb * 1e6, fs);
    seen.add(file.sha256);
    const batch = batchOf(file.sha256, sender, chain);
    if (known.has(`${batch} ${entry.path}`)) continue;
    const firstSeenDay = seenOn.get(`${file.sha256} ${entry.path}`) ?? asOfDay;
    const own = readIn(file, { batch, firstSeenDay, sender }, setting);
    if (readUnchanged(chainFolder, entry, fs)) read.push(own);
    else waiting.push(entry);
  }
  read.sort((a, b) => a.newFile.entry.firstSeenDay - b.newFile.entry.firstSeenDay);
  return { read, seen, waiting };
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

const waitingRow = ({ path }: InboxEntry): IntakeRow => ({
  file: path,
  sender: '',
  state: 'waiting',
  rowsRead: 0,
  accepted: 0,
  rejected: 0,
  blank: 0,
  ignored: 0,
  duplicate: 0,
  superseded: 0,
  sha256: '',
});

/** A rebuild knows only what is in the inbox; tests of files that are gone would be lost. */
const refuseToLose = (before: LakeManifest, there: ReadonlySet<string>): void => {
  const gone = before.files.filter((file) => !there.has(file.sha256) && rowsHeld(file) > 0);
  if (gone[0] !== undefined)
    throw new OperatorError(
      `${counted(gone.length, 'file')} of the lake ${gone.length === 1 ? 'is' : 'are'} no longer in the inbox, first ${gone[0].path}; put them back, or pass --drop-missing to lose their tests`,
      exitCodes.noInput,
    );
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
