#!/usr/bin/env node
import { basename, resolve } from 'node:path';
import { Command, CommanderError } from 'commander';
import { check } from '../../pipelines/check.ts';
import { explain } from '../../pipelines/explain.ts';
import { newChain } from '../../pipelines/new.ts';
import { nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../catalog/readChain.ts';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import { todayIn } from '../system/clock.ts';
import { diskFileSystem } from '../system/fileSystem.ts';
import { dayFromIso } from '../units/calendarDay.ts';
import { explainedLines } from './explainedLines.ts';
import { runLines } from './runLines.ts';

type Options = { asOf?: string; json?: boolean; quiet?: boolean; dryRun?: boolean; chain?: string };

const asOfDay = (text: string | undefined, timezone: string): number => {
  const day = dayFromIso(text ?? todayIn(timezone));
  if (Number.isNaN(day))
    throw new OperatorError(`--as-of ${text} is not a day; write it as 2026-11-23`, exitCodes.usage);
  return day;
};

const say = (options: Options, data: unknown, lines: readonly string[]): void => {
  if (options.json === true) console.log(JSON.stringify(data));
  else if (options.quiet !== true) console.log(lines.join('\n'));
};

const run = async (folder: string, options: Options): Promise<number> => {
  const chainFolder = resolve(folder);
  const chain = readChain(chainFolder, diskFileSystem);
  const progress = (stage: string): void => {
    if (process.stderr.isTTY && options.quiet !== true) process.stderr.write(`${stage} ...\n`);
  };
  const result = await nightly({
    chainFolder,
    chain,
    fs: diskFileSystem,
    asOfDay: asOfDay(options.asOf, chain.timezone),
    dryRun: options.dryRun === true,
    progress,
  });
  say(options, result, runLines(result, folder));
  if (result.staleStores > 0 || result.unfit > 0) return exitCodes.staleOrUnfit;
  return result.rejects.length > 0 ? exitCodes.rowsRejected : exitCodes.ok;
};

const checkFiles = (files: string[], options: Options): number => {
  const chainFolder = resolve(options.chain ?? '.');
  const chain = readChain(chainFolder, diskFileSystem);
  const inbox = `${chainFolder}/inbox/`;
  const named = files.map((file) => ({
    place: resolve(file),
    path: resolve(file).startsWith(inbox) ? resolve(file).slice(inbox.length) : basename(file),
  }));
  const missing = named.find((file) => !diskFileSystem.exists(file.place));
  if (missing !== undefined) throw new OperatorError(`no file ${missing.place}`, exitCodes.noInput);
  const checked = check(named, { chain, fs: diskFileSystem, asOfDay: asOfDay(options.asOf, chain.timezone) });
  say(
    options,
    checked,
    checked.flatMap((file) => [
      `${file.file}: ${file.state}, ${file.rowsRead} rows, ${file.tests} tests good, ${file.rejects.length} rejects`,
      ...file.rejects
        .slice(0, 20)
        .map(
          (reject) =>
            `  ${reject.code}: line ${reject.sourceLine}, ${reject.field}: found "${reject.found}", expected ${reject.expected}. ${reject.remedy}`,
        ),
    ]),
  );
  return checked.some((file) => file.rejects.length > 0) ? exitCodes.rowsRejected : exitCodes.ok;
};

const program = (done: (code: number) => void): Command => {
  const common = (command: Command): Command =>
    command
      .option('--as-of <date>', 'the day to stand on, e.g. 2026-11-23')
      .option('--json', 'print the result as JSON')
      .option('--quiet', 'print nothing but errors');
  const cli = new Command('deckle')
    .description('What cutting tests teach: yield, money, fair comparison, each night.')
    .exitOverride();
  cli.showSuggestionAfterError(true);
  common(
    cli
      .command('run')
      .argument('<chain>', "the chain's folder")
      .description('the night: read, measure, compare, publish'),
  )
    .option('--dry-run', 'count everything, write nothing')
    .addHelpText(
      'after',
      '\nExamples:\n  deckle run my-chain\n  deckle run my-chain --as-of 2026-11-23 --json',
    )
    .action(async (folder: string, options: Options) => done(await run(folder, options)));
  common(
    cli
      .command('check')
      .argument('<files...>', 'CSV files')
      .description('validate files only; writes nothing'),
  )
    .requiredOption('--chain <folder>', "the chain's folder")
    .addHelpText(
      'after',
      '\nExamples:\n  deckle check new.csv --chain my-chain\n  deckle check my-chain/inbox/*.csv --chain my-chain --json',
    )
    .action((files: string[], options: Options) => done(checkFiles(files, options)));
  common(
    cli
      .command('explain')
      .argument('<id>', 'STORE/TEST, finding id or reject code')
      .description('walk a number back to file and line'),
  )
    .requiredOption('--chain <folder>', "the chain's folder")
    .addHelpText(
      'after',
      '\nExamples:\n  deckle explain s-014/T-0042 --chain my-chain\n  deckle explain cell-count --chain my-chain',
    )
    .action((id: string, options: Options) => {
      const explained = explain(id, resolve(options.chain ?? '.'), diskFileSystem);
      say(options, explained, explainedLines(explained));
    });
  cli
    .command('new')
    .argument('<dir>', 'folder to make')
    .description('make a commented chain folder')
    .addHelpText('after', '\nExamples:\n  deckle new my-chain\n  deckle new chains/north')
    .action((folder: string) => {
      newChain(resolve(folder), diskFileSystem);
      console.log(`made ${folder}: edit chain.yaml, put CSVs in inbox/, then: deckle run ${folder}`);
    });
  return cli;
};

const codeOf = (error: unknown): number => {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : exitCodes.usage;
  if (error instanceof OperatorError) {
    console.error(`deckle: ${error.message}`);
    return error.exitCode;
  }
  const failed = error as NodeJS.ErrnoException;
  if (failed.syscall !== undefined) {
    console.error(`deckle: cannot ${failed.syscall} ${failed.path ?? ''}: ${failed.code}`);
    return failed.syscall === 'read' || failed.syscall === 'scandir'
      ? exitCodes.cannotRead
      : exitCodes.cannotWrite;
  }
  console.error(`deckle: this is our bug, please report it\n${failed.stack}`);
  return exitCodes.bug;
};

let exitCode = 0;
try {
  await program((code) => {
    exitCode = code;
  }).parseAsync();
} catch (error) {
  exitCode = codeOf(error);
}
process.exitCode = exitCode;
