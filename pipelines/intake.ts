import type { Chain } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import { rejectCodes } from '../src/faults/rejectCodes.ts';
import { ingest } from '../src/ingest/ingest.ts';
import type { IntakeRow, Reject } from '../src/ingest/ingested.ts';
import { type InboxFile, readInbox } from '../src/ingest/readInbox.ts';
import { readReferenceFiles } from '../src/ingest/readReferenceFiles.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import { senderOf } from '../src/ingest/senderOf.ts';
import { knownRows, lake, type NewFile, newRows, plannedParts } from '../src/lake/lake.ts';
import type { LakeManifest, LedgerEntry } from '../src/lake/ledger.ts';
import { readManifest, readParts } from '../src/lake/readLake.ts';
import { writeLake } from '../src/lake/writeLake.ts';
import { type RejectsFile, writeRejects } from '../src/lake/writeRejects.ts';
import type { NormalizedNight } from '../src/normalize/normalized.ts';
import { normalizeReference } from '../src/normalize/normalizeReference.ts';
import { contentHash } from '../src/system/contentHash.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { type Delivered, delivered } from './delivered.ts';

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
  /** Writes lake parts, ledger and rejects files. Nothing is written before. */
  commit: () => void;
};

/** From the operator's folder to normalized tables: only files not yet in the ledger are read in. */
export const takeIn = ({ chainFolder, chain, fs, asOfDay, rebuild }: IntakeInput): Intake => {
  const inbox = readInbox(chainFolder, fs);
  if (inbox.length === 0)
    throw new OperatorError(
      `no CSV files in ${chainFolder}/inbox; put the stores' files there`,
      exitCodes.noInput,
    );
  const before = readManifest(chainFolder, fs, rebuild !== undefined);
  if (rebuild?.dropMissing === false) refuseToLose(before, inbox);
  const manifest: LakeManifest =
    rebuild === undefined ? before : { generation: before.generation, files: [], parts: [] };
  const known = new Set(manifest.files.map((file) => `${file.batch.replace(/-copy$/, '')} ${file.path}`));
  const seenOn = new Map(before.files.map((file) => [`${file.sha256} ${file.path}`, file.firstSeenDay]));
  const setting = {
    chain,
    tests: readSchemaFields('cutting-tests', fs),
    portions: readSchemaFields('portions', fs),
    asOfDay,
  };
  const read = inbox
    .filter((file) => !known.has(`${batchOf(file, chain)} ${file.path}`))
    .map((file) => readIn(file, seenOn.get(`${file.sha256} ${file.path}`) ?? asOfDay, setting))
    .sort((a, b) => a.newFile.entry.firstSeenDay - b.newFile.entry.firstSeenDay);
  const fresh = copiesMarked(
    read.map((one) => one.newFile),
    manifest,
  );
  const next = nextManifest(manifest, fresh);
  const added = newRows(fresh);
  const stored = knownRows(readParts(chainFolder, manifest, fs), next);
  const current = lake(
    {
      tests: [...stored.tests, ...added.tests],
      outputs: [...stored.outputs, ...added.outputs],
      portions: [...stored.portions, ...added.portions],
    },
    next.files,
    chain,
  );
  const reference = takeInReference(chainFolder, chain, fs, asOfDay);
  return {
    night: {
      tests: current.tests,
      outputs: current.outputs,
      portions: current.portions,
      reference: reference.tables,
    },
    intake: current.intake,
    rejects: [...current.rejects, ...reference.rejects],
    filesIngested: fresh.length,
    commit: () => {
      if (fresh.length === 0) return;
      writeRejects(
        chainFolder,
        read.map((one) => one.rejectsFile),
        fs,
      );
      writeLake(chainFolder, next, plannedParts(added, asOfDay), fs);
    },
  };
};

/** The ledger with the new files; an entry of the same bytes and path gives way. */
const nextManifest = (manifest: LakeManifest, fresh: readonly NewFile[]): LakeManifest => {
  const replaced = new Set(fresh.map((file) => `${file.entry.sha256} ${file.entry.path}`));
  return {
    generation: manifest.generation + (fresh.length > 0 ? 1 : 0),
    files: [
      ...manifest.files.filter((file) => !replaced.has(`${file.sha256} ${file.path}`)),
      ...fresh.map((file) => file.entry),
    ],
    parts: manifest.parts,
  };
};

/** A rebuild knows only what is in the inbox; tests of files that are gone would be lost. */
const refuseToLose = (before: LakeManifest, inbox: readonly InboxFile[]): void => {
  const there = new Set(inbox.map((file) => file.sha256));
  const gone = before.files.filter((file) => !there.has(file.sha256));
  if (gone[0] !== undefined)
    throw new OperatorError(
      `${gone.length} files of the lake are no longer in the inbox, first ${gone[0].path}; put them back, or pass --drop-missing to lose their tests`,
      exitCodes.noInput,
    );
};

const batchOf = (file: InboxFile, chain: Chain): string =>
  contentHash(
    JSON.stringify([
      file.sha256,
      chain.items,
      chain.outputs,
      chain.methods,
      chain.grades,
      senderOf(file.path.replace('inbox/', ''), chain.senders),
    ]),
  ).slice(0, 16);

const readIn = (
  file: InboxFile,
  firstSeenDay: number,
  setting: Parameters<typeof delivered>[1],
): { newFile: NewFile; rejectsFile: RejectsFile } => {
  const { chain } = setting;
  const own = delivered(file, setting);
  const { table } = own;
  const entry: LedgerEntry = {
    batch: batchOf(file, chain),
    sha256: file.sha256,
    path: file.path,
    sender: senderOf(file.path.replace('inbox/', ''), chain.senders).name,
    state: table.state,
    rowsRead: table.rowsRead,
    blank: table.blank,
    ignored: table.ignored,
    rejected: table.state === 'quarantined' ? table.rowsRead : own.givenBack.length,
    firstSeenDay,
    modifiedMs: file.modifiedMs,
    rejects: own.rejects,
  };
  return {
    newFile: { entry, versions: own.versions, portions: own.portions },
    rejectsFile: rejectsFileOf(file.path, own),
  };
};

/** A file whose bytes are known under another path adds nothing; its rows count as duplicate. */
const copiesMarked = (files: readonly NewFile[], manifest: LakeManifest): NewFile[] => {
  const first = new Map(manifest.files.map((file) => [file.sha256, file.path]));
  return files.map((file) => {
    const { sha256, path } = file.entry;
    const original = first.get(sha256) ?? path;
    first.set(sha256, original);
    return original === path
      ? file
      : {
          entry: { ...file.entry, batch: `${file.entry.batch}-copy`, state: 'duplicate-file', rejects: [] },
          versions: [],
          portions: [],
        };
  });
};

const rejectsFileOf = (path: string, { table, givenBack, rejects }: Delivered): RejectsFile => {
  const faultAt = new Map(rejects.map((reject) => [reject.sourceLine, reject]));
  const rows = givenBack.map(({ sourceLine, record }) => {
    const fault = faultAt.get(sourceLine);
    const code = fault?.code ?? 'test-held-back';
    return {
      record,
      code,
      field: fault?.field ?? '',
      message: rejectCodes[code].message,
      remedy: rejectCodes[code].remedy,
      line: sourceLine,
    };
  });
  return { path, header: table.header, rows };
};

const takeInReference = (
  chainFolder: string,
  chain: Chain,
  fs: FileSystem,
  asOfDay: number,
): { tables: NormalizedNight['reference']; rejects: Reject[] } => {
  const files = readReferenceFiles(chainFolder, fs);
  if (!files.some(({ table }) => table === 'prices')) {
    throw new OperatorError(
      `no reference/prices.csv in ${chainFolder}; money needs retail prices`,
      exitCodes.noInput,
    );
  }
  const plain = { ...senderOf('', []), decimal: '.' as const, dates: 'ymd' as const };
  const read = files.map(({ table, file }) => ({
    table,
    result: ingest(
      { path: file.path, bytes: file.bytes, sender: plain, fields: readSchemaFields(table, fs) },
      { limits: chain.limits, asOfDay },
    ),
  }));
  return {
    tables: normalizeReference(new Map(read.map(({ table, result }) => [table, result])), chain),
    rejects: read.flatMap(({ result }) => result.rejects),
  };
};
