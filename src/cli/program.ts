import { Command } from 'commander';
import { nightly } from '../../pipelines/nightly.ts';
import { rebuild } from '../../pipelines/rebuild.ts';
import { diskFileSystem, type FileSystem } from '../system/fileSystem.ts';
import { packageRoot } from '../system/packageRoot.ts';
import {
  checkFiles,
  explainId,
  exportChain,
  makeChain,
  type Options,
  recordCutter,
  removeCutter,
  workANight,
} from './commands.ts';

type Done = (exitCode: number) => void;
type CommandText = { usage: string; about: string; examples: readonly [string, string] };

const exitCodeTable = `
Exit codes: 0 done; 3 done, some rows were refused; 4 done, but a store is
silent or sends old sheets only, or a fit did not settle; 64 usage; 66 no input;
70 our bug; 73 cannot write; 74 cannot read; 75 another run is at work; 78 chain
file wrong.`;

/** The command line: what each command takes, how its help reads, and where it leads. Ends by `done` with an exit code. */
export const program = (done: Done): Command => {
  const cli = new Command('deckle')
    .description('What cutting tests teach: yield, money, fair comparison, each night.')
    .version(versionOf(diskFileSystem), '--version', 'print the version')
    .configureHelp({ helpWidth: 80 })
    .showSuggestionAfterError(true)
    .exitOverride()
    .addHelpText('after', exampleText(['deckle new my-chain', 'deckle run my-chain']) + exitCodeTable);
  addNights(cli, done);
  addLooks(cli, done);
  return cli;
};

const versionOf = (fs: FileSystem): string =>
  JSON.parse(fs.readText(`${packageRoot()}/package.json`)).version;

const exampleText = (examples: readonly string[]): string =>
  `\nExamples:\n${examples.map((example) => `  ${example}`).join('\n')}\n`;

const added = (cli: Command, { usage, about, examples }: CommandText): Command =>
  cli
    .command(usage)
    .description(about)
    .option('--json', 'print the result as JSON')
    .option('--quiet', 'print nothing but errors')
    .addHelpText('after', exampleText(examples).trimEnd());

const withDay = (command: Command): Command =>
  command.option('--as-of <date>', 'the day to stand on, e.g. 2026-11-23; default today');

const withChain = (command: Command): Command =>
  command.requiredOption('--chain <folder>', "the chain's folder");

const jobsText = 'threads that read and fit side by side; the results are the same for any number';

const addNights = (cli: Command, done: Done): void => {
  withDay(
    added(cli, {
      usage: 'run <chain>',
      about: "The night: read the chain folder's new files, measure, compare, publish.",
      examples: ['deckle run my-chain', 'deckle run my-chain --as-of 2026-11-23 --json'],
    }),
  )
    .option('--dry-run', 'count everything, write nothing')
    .option('--jobs <n>', jobsText)
    .action(async (folder: string, options: Options) => done(await workANight(folder, options, nightly)));
  withDay(
    added(cli, {
      usage: 'rebuild <chain>',
      about: 'Read the whole inbox again into a new lake, then publish.',
      examples: ['deckle rebuild my-chain', 'deckle rebuild my-chain --drop-missing'],
    }),
  )
    .option('--drop-missing', 'go on although files of the lake are gone')
    .option('--jobs <n>', jobsText)
    .action(async (folder: string, options: Options) =>
      done(
        await workANight(folder, options, (night) =>
          rebuild(night, { dropMissing: options.dropMissing === true }),
        ),
      ),
    );
};

const addLooks = (cli: Command, done: Done): void => {
  withDay(
    withChain(
      added(cli, {
        usage: 'check <files...>',
        about: 'Say what a night would refuse in these CSV files; write nothing.',
        examples: [
          'deckle check new.csv --chain my-chain',
          'deckle check my-chain/inbox/*.csv --chain my-chain --json',
        ],
      }),
    ),
  ).action((files: string[], options: Options) => done(checkFiles(files, options)));
  withChain(
    added(cli, {
      usage: 'explain <id>',
      about:
        'Walk STORE/TEST, a finding id, a reject code or the reason of a held test back to file, line and arithmetic.',
      examples: [
        'deckle explain s-014/T-0042 --chain my-chain',
        'deckle explain cell-count --chain my-chain --json',
      ],
    }),
  ).action((id: string, options: Options) => done(explainId(id, options)));
  withDay(
    withChain(
      added(cli, {
        usage: 'record <cutter>',
        about: 'Write all that is held of one cutter: tests, name, coaching, effects, findings.',
        examples: [
          'deckle record c-0042 --chain my-chain > record.txt',
          'deckle record c-0042 --chain my-chain --json',
        ],
      }),
    ),
  ).action((cutter: string, options: Options) => done(recordCutter(cutter, options)));
  withChain(
    added(cli, {
      usage: 'remove <cutter>',
      about: 'Put a cutter on the list of the removed; the next night forgets them.',
      examples: ['deckle remove c-0042 --chain my-chain', 'deckle remove c-0042 --chain my-chain --json'],
    }),
  ).action((cutter: string, options: Options) => done(removeCutter(cutter, options)));
  added(cli, {
    usage: 'export <chain> <folder>',
    about: 'Write the release in force as Parquet, tests by month, for other programs.',
    examples: ['deckle export my-chain my-export', 'deckle export my-chain my-export --quiet'],
  }).action((chain: string, folder: string, options: Options) => done(exportChain(chain, folder, options)));
  added(cli, {
    usage: 'new <dir>',
    about: 'Make a commented chain folder.',
    examples: ['deckle new my-chain', 'deckle new chains/north'],
  }).action((folder: string, options: Options) => done(makeChain(folder, options)));
};
