// Scores the model or the whole night on simulated chains with known truth, and prints each figure with its standard
// error over seeds and the bar it is to reach. Run: npm run score -- --variant base --seeds 20 --stage night --jobs 2
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { bars, barText, verdictOf } from './bars.ts';
import { type Figure, type Figures, summaryOf } from './figures.ts';
import { type Asked, scoreSeed } from './scoreSeed.ts';
import { variantNames } from './variants.ts';

type Scored = { seed: number; figures: Figures; seconds: number };

const scored = async (asked: Asked): Promise<Scored> => {
  const started = performance.now();
  const figures = await scoreSeed(asked);
  return { seed: asked.seed, figures, seconds: (performance.now() - started) / 1000 };
};

/** One seed in a thread of its own. */
const inThread = (job: Asked): Promise<Scored> =>
  new Promise((resolve, reject) => {
    const worker = new Worker(fileURLToPath(import.meta.url), { workerData: job });
    worker.once('message', resolve);
    worker.once('error', reject);
  });

const scoreAll = async (jobs: readonly Asked[], threads: number): Promise<Scored[]> => {
  const waiting = [...jobs];
  const done: Scored[] = [];
  const work = async (): Promise<void> => {
    for (let job = waiting.shift(); job !== undefined; job = waiting.shift()) {
      const one = await inThread(job);
      process.stderr.write(`${job.variant} seed ${one.seed}: ${one.seconds.toFixed(1)} s\n`);
      done.push(one);
    }
  };
  await Promise.all(Array.from({ length: threads }, work));
  return done.sort((a, b) => a.seed - b.seed);
};

const lineOf = (name: string, variant: string, seeds: readonly Figure[]): string => {
  const { value, standardError, cases } = summaryOf(seeds);
  const number = (size: number): string =>
    Number.isNaN(size) ? '-' : size !== 0 && Math.abs(size) < 1e-4 ? size.toExponential(1) : size.toFixed(4);
  const verdict = verdictOf(name, variant, value);
  return [
    name.padEnd(44),
    number(value).padStart(10),
    `+- ${number(standardError)}`.padEnd(12),
    `n ${cases.toFixed(0)}`.padEnd(10),
    verdict === '' ? '' : `${verdict} (${barText(bars[name] ?? {})})`,
  ]
    .join(' ')
    .trimEnd();
};

const main = async (): Promise<void> => {
  const { values } = parseArgs({
    options: {
      variant: { type: 'string', default: 'base' },
      stage: { type: 'string', default: 'night' },
      seeds: { type: 'string', default: '20' },
      nights: { type: 'string', default: '0' },
      from: { type: 'string', default: '1' },
      jobs: { type: 'string', default: '1' },
      json: { type: 'string' },
    },
  });
  const stage = values.stage === 'model' ? 'model' : 'night';
  const chosen =
    values.variant === 'all' ? variantNames : variantNames.filter((own) => own === values.variant);
  if (chosen.length === 0)
    throw new Error(`score: no variant "${values.variant}"; there are all, ${variantNames.join(', ')}`);
  const all: Record<string, Record<string, unknown>> = {};
  for (const variant of chosen) {
    const jobs = Array.from(
      { length: Number(values.seeds) },
      (_, k): Asked => ({
        seed: Number(values.from) + k,
        variant,
        stage,
        nights: Number(values.nights),
      }),
    );
    const done = await scoreAll(jobs, Number(values.jobs));
    const names = [...new Set(done.flatMap(({ figures }) => Object.keys(figures)))];
    const of = (name: string): Figure[] => done.flatMap(({ figures }) => figures[name] ?? []);
    process.stdout.write(`\n${stage}, variant ${variant}, seeds ${values.from}-${jobs.at(-1)?.seed}\n`);
    for (const name of names)
      if (summaryOf(of(name)).cases > 0) process.stdout.write(`  ${lineOf(name, variant, of(name))}\n`);
    all[variant] = Object.fromEntries(names.map((name) => [name, summaryOf(of(name))]));
  }
  if (values.json !== undefined)
    writeFileSync(values.json, `${JSON.stringify({ ...values, figures: all }, null, 1)}\n`);
};

if (isMainThread) await main();
else parentPort?.postMessage(await scored(workerData as Asked));
