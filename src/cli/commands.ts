import { availableParallelism } from 'node:os';
import { basename, resolve } from 'node:path';
import { check } from '../../pipelines/check.ts';
import { explain } from '../../pipelines/explain.ts';
import { exportRelease } from '../../pipelines/export.ts';
import { newChain } from '../../pipelines/new.ts';
import type { Night, NightResult } from '../../pipelines/nightly.ts';
import { record } from '../../pipelines/record.ts';
import { readChain } from '../catalog/readChain.ts';
import { writeRemovedCutter } from '../catalog/writeRemovedCutter.ts';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { todayIn } from '../system/clock.ts';
import { diskFileSystem } from '../system/fileSystem.ts';
import { dayFromIso } from '../units/calendarDay.ts';
import { counted, countedTests } from '../units/counted.ts';
import { explainedLines } from './explainedLines.ts';
import { recordLines } from './recordLines.ts';
import { stageBar } from './stageBar.ts';

export type Options = {
  asOf?: string;
  json?: boolean;
  quiet?: boolean;
  dryRun?: boolean;
  dropMissing?: boolean;
  jobs?: string;
  chain?: string;
};

const mostRejects = 20;

const asOfDay = (text: string | undefined, timezone: string): number => {
  const day = dayFromIso(text ?? todayIn(timezone));
  if (Number.isNaN(day))
    throw new OperatorError(`--as-of ${text} is not a day; write it as 2026-11-23`, exitCodes.usage);
  return day;
};

const jobsOf = (text: string | undefined): number => {
  if (text === undefined) return availableParallelism();
  if (!/^[1-9]\d{0,2}$/.test(text))
    throw new OperatorError(`--jobs ${text} is not a number of threads; write 1 or more`, exitCodes.usage);
  return Number(text);
};

const say = (options: Options, data: unknown, lines: readonly string[]): void => {
  if (options.json === true) console.log(JSON.stringify(data));
  else if (options.quiet !== true) console.log(lines.join('\n'));
};

/** A night (or a rebuild) of the chain in `folder`; says what was done and returns the exit code. */
export const workANight = async (
  folder: string,
  options: Options,
  work: (night: Night) => Promise<NightResult>,
): Promise<number> => {
  const chainFolder = resolve(folder);
  const chain = readChain(chainFolder, diskFileSystem);
  const bar = stageBar(process.stderr, options.quiet === true ? { TERM: 'dumb' } : process.env);
  try {
    const result = await work({
      chainFolder,
      chain,
      fs: diskFileSystem,
      asOfDay: asOfDay(options.asOf, chain.timezone),
      dryRun: options.dryRun === true,
      progress: bar.stage,
      onPage: bar.pages,
      jobs: jobsOf(options.jobs),
    });
    bar.stop();
    const sites = ['director', 'trainer', 'buyer'].map(
      (reader) => `  ${reader}: ${folder}/current/published/${reader}/index.html`,
    );
    const { summary, ...data } = result;
    say(options, data, [...summary, ...(result.release === '' ? [] : sites)]);
    if (result.staleStores > 0 || result.unfit > 0) return exitCodes.staleOrUnfit;
    return result.rejects.length > 0 ? exitCodes.rowsRejected : exitCodes.ok;
  } finally {
    bar.stop();
  }
};

/** A file as a night names it: below inbox/, or reference/<table>.csv; its bare name when it lies elsewhere. */
const pathInChain = (place: string, chainFolder: string): string => {
  if (place.startsWith(`${chainFolder}/inbox/`)) return place.slice(`${chainFolder}/inbox/`.length);
  return place.startsWith(`${chainFolder}/reference/`)
    ? place.slice(chainFolder.length + 1)
    : basename(place);
};

/** Validates files as a night would read them; writes nothing. Returns the exit code. */
export const checkFiles = (files: readonly string[], options: Options): number => {
  const chainFolder = resolve(options.chain ?? '.');
  const chain = readChain(chainFolder, diskFileSystem);
  const named = files.map((file) => ({
    place: resolve(file),
    path: pathInChain(resolve(file), chainFolder),
  }));
  const missing = named.find((file) => !diskFileSystem.exists(file.place));
  if (missing !== undefined) throw new OperatorError(`no file ${missing.place}`, exitCodes.noInput);
  const day = asOfDay(options.asOf, chain.timezone);
  const checked = check(named, { chainFolder, chain, fs: diskFileSystem, asOfDay: day });
  const lines = checked.flatMap(
    ({ file, isReference, state, rowsRead, tests, testsWithPortions, rejects }) => [
      [
        `${file}: ${state}`,
        rowsRead === 0 ? 'no rows' : counted(rowsRead, 'row'),
        ...(isReference ? [] : [`${countedTests(tests)} good`]),
        ...(testsWithPortions > 0 ? [`portions of ${countedTests(testsWithPortions)} good`] : []),
        counted(rejects.length, 'reject'),
      ].join(', '),
      ...rejects
        .slice(0, mostRejects)
        .map(
          (reject) =>
            `  ${reject.code}: line ${reject.sourceLine}${reject.field === '' ? '' : `, ${reject.field}`}: found "${reject.found}", expected ${reject.expected.replace(/(?<![?])$/, '.')} ${reject.remedy}`,
        ),
      ...(rejects.length > mostRejects
        ? [`  and ${rejects.length - mostRejects} more; --json lists all`]
        : []),
    ],
  );
  say(options, checked, lines);
  return checked.some((file) => file.rejects.length > 0) ? exitCodes.rowsRejected : exitCodes.ok;
};

/** Walks an id back to file, line and arithmetic. Returns the exit code. */
export const explainId = (id: string, options: Options): number => {
  const chainFolder = resolve(options.chain ?? '.');
  const chain = readChain(chainFolder, diskFileSystem);
  const explained = explain(id, { chainFolder, chain, fs: diskFileSystem });
  say(options, explained, explainedLines(explained));
  return exitCodes.ok;
};

/** Makes a commented chain folder. Returns the exit code. */
export const makeChain = (folder: string, options: Options): number => {
  newChain(resolve(folder), diskFileSystem);
  say(options, { folder }, [
    `made ${folder}: edit chain.yaml, put CSVs in inbox/, then: deckle run ${folder}`,
  ]);
  return exitCodes.ok;
};

/** Writes the release in force as Parquet. Returns the exit code. */
export const exportChain = (folder: string, to: string, options: Options): number => {
  const exported = exportRelease(resolve(folder), resolve(to), diskFileSystem);
  const lines = exported.tables.map(({ name, rows, files }) => `  ${name}: ${rows} rows in ${files} files`);
  say(options, exported, [`${exported.release} as Parquet in ${to}`, ...lines]);
  return exitCodes.ok;
};

/** Writes all that is held of one cutter. Returns the exit code. */
export const recordCutter = (cutter: string, options: Options): number => {
  const chainFolder = resolve(options.chain ?? '.');
  const chain = readChain(chainFolder, diskFileSystem);
  const day = asOfDay(options.asOf, chain.timezone);
  const recorded = record(cutter, { chainFolder, chain, fs: diskFileSystem, asOfDay: day });
  say(options, recorded, recordLines(recorded));
  return exitCodes.ok;
};

/** Puts a cutter on the list of the removed in the chain file. Returns the exit code. */
export const removeCutter = (cutter: string, options: Options): number => {
  const chainFolder = resolve(options.chain ?? '.');
  readChain(chainFolder, diskFileSystem);
  const added = writeRemovedCutter(chainFolder, cutter, diskFileSystem);
  say(options, { cutter, added }, [
    added
      ? `${cutter} is on the list removed_cutters of chain.yaml; the next run forgets them: deckle run ${options.chain}`
      : `${cutter} was on the list removed_cutters of chain.yaml already`,
  ]);
  return exitCodes.ok;
};
