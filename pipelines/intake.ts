import type { Chain } from '../src/catalog/chain.ts';
import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import type { IntakeRow, Reject } from '../src/ingest/ingested.ts';
import { type InboxEntry, readInbox } from '../src/ingest/readInbox.ts';
import { readSentSchemas } from '../src/ingest/readSchemaFields.ts';
import { lake } from '../src/lake/lake.ts';
import { merged, type NewFile, newRows, rowsWithout, storedRows } from '../src/lake/lakeRows.ts';
import type { LakeManifest } from '../src/lake/ledger.ts';
import {
  copiesMarked,
  filesKnown,
  isSameLedger,
  latestDayOf,
  movedMarked,
  nextLedger,
  rowsHeld,
} from '../src/lake/nextLedger.ts';
import { plannedParts } from '../src/lake/plannedParts.ts';
import { readManifest, readParts } from '../src/lake/readLake.ts';
import { firstDayKept, type Retained, retained } from '../src/lake/retained.ts';
import { writeLake } from '../src/lake/writeLake.ts';
import { owedRejects, type RejectsFile, settledRejects, writeRejects } from '../src/lake/writeRejects.ts';
import type { NormalizedNight } from '../src/normalize/normalized.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { counted } from '../src/units/counted.ts';
import {
  type AnsweredFile,
  type AskedFile,
  filesToRead,
  type ReadFile,
  type ReadingSetting,
  readAsked,
  rejectsAgain,
} from './newFiles.ts';
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
  /** Of a night for a day before the lake's latest: that day, and the new files it leaves for the next night. */
  rerun: { latestDay: number; left: string[] } | undefined;
  /** Writes lake parts, ledger and rejects files. Nothing is written before. */
  commit: () => void;
};

/** What a night finds before it reads a file: the inbox, the ledger, and which files are to be read. */
export type OpenedInbox = {
  inbox: readonly InboxEntry[];
  before: LakeManifest;
  /** The ledger that counts as read: that of `before`, without files and parts when all is read again. */
  manifest: LakeManifest;
  latestDay: number;
  asked: readonly AskedFile[];
  seen: readonly string[];
  setting: ReadingSetting;
};

/** Looks into the operator's folder: only files not yet in the ledger are to be read. */
export const openInbox = ({ chainFolder, chain, fs, asOfDay, rebuild }: IntakeInput): OpenedInbox => {
  const inbox = readInbox(chainFolder, fs);
  if (!inbox.some(({ path }) => /\.csv$/i.test(path)))
    throw new OperatorError(
      `no CSV files in ${chainFolder}/inbox; put the stores' files there`,
      exitCodes.noInput,
    );
  const before = readManifest(chainFolder, fs, rebuild !== undefined);
  const manifest: LakeManifest = rebuild === undefined ? before : { ...before, files: [], parts: [] };
  const latestDay = latestDayOf(before);
  const setting = {
    ...{ chainFolder, chain, asOfDay, isRerun: asOfDay < latestDay },
    ...readSentSchemas(fs),
  };
  return { inbox, before, manifest, latestDay, ...filesToRead(inbox, { manifest, before }, chain), setting };
};

/** From the operator's folder to normalized tables. `answers`: what was read of each file that is asked for, in that order. */
export const takeIn = (
  input: IntakeInput,
  opened: OpenedInbox = openInbox(input),
  answers: readonly AnsweredFile[] = opened.asked.map((one) => readAsked(one, opened.setting, input.fs)),
): Intake => {
  const { chainFolder, chain, fs, asOfDay, rebuild } = input;
  const { inbox, before, manifest, latestDay } = opened;
  const { isRerun } = opened.setting;
  const read = answers
    .flatMap((answer) => (answer.state === 'read' ? [answer.read] : []))
    .sort((a, b) => a.newFile.entry.firstSeenDay - b.newFile.entry.firstSeenDay);
  const waiting = answers.filter(({ state }) => state === 'waiting').map(({ entry }) => entry);
  const left = answers.filter(({ state }) => state === 'left').map(({ entry }) => entry.path);
  const seen = new Set([...opened.seen, ...answers.map(({ sha256 }) => sha256)]);
  if (rebuild?.dropMissing === false) refuseToLose(before, seen);
  const fresh = copiesMarked(
    read.map((one) => one.newFile),
    manifest.files,
  );
  const reference = takeInReference(before, input);
  const next = nextLedger(manifest, fresh);
  const there = new Set(inbox.map(({ path }) => path));
  const ledger = {
    ...next,
    files: isRerun ? next.files : movedMarked(next.files, there, asOfDay),
    reference: reference.events,
    latestDay: Math.max(asOfDay, latestDay),
  };
  const { added, isLess, firstDay, kept } = rowsIn(ledger, fresh, manifest, input);
  const { files } = kept.manifest;
  const { intake, rejects, ...tables } = lake(kept.rows, filesKnown(files, asOfDay), chain);
  const isNew = !isSameLedger(kept.manifest, before);
  return {
    night: { ...tables, reference: reference.tables },
    intake: [...intake, ...waiting.map((entry) => waitingRow(entry, asOfDay))],
    rejects: [...rejects, ...reference.rejects],
    filesIngested: fresh.length,
    firstDay,
    rerun: isRerun ? { latestDay, left: [...left, ...reference.left] } : undefined,
    commit: () => {
      if (!isNew) return;
      const ofInbox = inboxRejects(read, kept, before, input);
      writeRejects(chainFolder, [...ofInbox, ...reference.rejectsFiles], fs);
      const addition =
        kept.isCut || isLess
          ? { manifest: { ...kept.manifest, parts: [] }, planned: plannedParts(kept.rows, files) }
          : { manifest: kept.manifest, planned: plannedParts(added, files) };
      writeLake(chainFolder, { ...addition, reference: reference.contents }, before.generation, fs);
    },
  };
};

/** The rows of new files, and all that the lake keeps; `isLess`: rows of the parts gave way to what was read again. */
const rowsIn = (
  ledger: LakeManifest,
  fresh: readonly NewFile[],
  manifest: LakeManifest,
  { chainFolder, chain, fs, asOfDay }: IntakeInput,
) => {
  const added = newRows(fresh);
  const batches = new Set(ledger.files.map((file) => file.batch));
  // what a file brought before its reading changed, and changed back, is in the parts already: it is taken from the file
  const readBatches = new Set(fresh.map((file) => file.entry.batch));
  const { rows, isLess } = rowsWithout(
    storedRows(readParts(chainFolder, manifest, fs), batches),
    readBatches,
  );
  const firstDay = firstDayKept(asOfDay, chain.retention.months);
  const cutters = new Set(chain.removed_cutters);
  const kept = retained(merged(rows, added), ledger, { beforeDay: firstDay, cutters });
  return { added, isLess, firstDay, kept };
};

/** The rejects files of new files and of those of which rows were mended, with the rows that are still owed. */
const inboxRejects = (
  read: readonly ReadFile[],
  { settledPaths, partlySettled }: Pick<Retained, 'settledPaths' | 'partlySettled'>,
  before: LakeManifest,
  input: IntakeInput,
): RejectsFile[] => {
  const fresh = read.map((one) => one.rejectsFile);
  const freshPaths = new Set(fresh.map((file) => file.path));
  const partly = partlySettled.flatMap(({ file, owedLines }): RejectsFile[] => {
    const isMendedNow = freshPaths.has(file.path) || freshPaths.has(`${file.path}.rejects.csv`);
    const own = isMendedNow ? rejectsAgain(file, before, input) : undefined;
    return own === undefined ? [] : [owedRejects(own, owedLines)];
  });
  return [...fresh, ...settledPaths.map(settledRejects), ...partly];
};

const waitingRow = ({ path }: InboxEntry, asOfDay: number): IntakeRow => ({
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
  owed: 0,
  firstSeenDay: asOfDay,
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
