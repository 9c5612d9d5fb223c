// 600,000 rows in 12,000 small files cold, then a night with 200 new files: the intake (read, hash, validate, normalize, lake)
// beside an embedded columnar SQL engine on one thread for the cold one; with --night the whole night, pages and all.
//   npm run build && node test/bench/manyFiles.mjs [files] [--night]
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { makeChain, measured, report, runEngine, writeRows } from './ingestBench.mjs';

const self = new URL(import.meta.url).pathname;
const dist = new URL('../../dist/', import.meta.url);
const rowsAFile = 50;
const newFiles = 200;

/** Files `from` to `to`, each of some tests of its own, in 200 folders. */
const writeFiles = (folder, from, to) => {
  for (let i = from; i < to; i++)
    writeRows(
      join(
        folder,
        'inbox',
        `store-${String(i % 200).padStart(3, '0')}`,
        `sheet-${String(i).padStart(6, '0')}.csv`,
      ),
      rowsAFile,
      i * Math.ceil(rowsAFile / 4),
    );
};

const runIntake = async (folder) => {
  const { takeIn } = await import(new URL('pipelines/intake.js', dist));
  const { readChain } = await import(new URL('src/catalog/readChain.js', dist));
  const { diskFileSystem: fs } = await import(new URL('src/system/fileSystem.js', dist));
  const [began, cpu] = [performance.now(), process.cpuUsage()];
  const intake = takeIn({ chainFolder: folder, chain: readChain(folder, fs), fs, asOfDay: 20780 });
  intake.commit();
  report(
    began,
    cpu,
    intake.intake.reduce((sum, file) => sum + file.accepted, 0),
  );
};

const runNight = async (folder) => {
  const { nightly } = await import(new URL('pipelines/nightly.js', dist));
  const { readChain } = await import(new URL('src/catalog/readChain.js', dist));
  const { diskFileSystem: fs } = await import(new URL('src/system/fileSystem.js', dist));
  const [began, cpu] = [performance.now(), process.cpuUsage()];
  const chain = readChain(folder, fs);
  const night = { chainFolder: folder, chain, fs, asOfDay: 20780, dryRun: false, progress: () => {} };
  const { intake } = await nightly({ ...night, jobs: availableParallelism() });
  report(
    began,
    cpu,
    intake.reduce((sum, file) => sum + file.accepted, 0),
  );
};

/** Seconds by stage of the latest night, as its manifest has them; none where only the intake ran. */
const stagesOf = (folder) => {
  const [latest] = readdirSync(folder).includes('runs')
    ? readdirSync(join(folder, 'runs')).sort().reverse()
    : [];
  if (latest === undefined) return '';
  const { stages } = JSON.parse(readFileSync(join(folder, 'runs', latest, 'manifest.json'), 'utf8'));
  return Object.entries(stages)
    .map(([stage, { seconds }]) => `${stage} ${seconds.toFixed(0)} s`)
    .join(', ');
};

const main = () => {
  const files = Number(process.argv.slice(2).find((one) => /^\d+$/.test(one)) ?? 12_000);
  const mode = process.argv.includes('--night') ? '--ourNight' : '--intake';
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  try {
    makeChain(folder);
    writeFiles(folder, 0, files);
    const rows = files * rowsAFile;
    console.log(`${rows.toLocaleString('en-US')} rows in ${files.toLocaleString('en-US')} files`);
    const engine = measured('columnar SQL engine, cold', rows, [self, '--engine', folder]);
    const cold = measured(mode === '--intake' ? 'intake, cold' : 'night, cold', rows, [self, mode, folder]);
    console.log(stagesOf(folder));
    writeFiles(folder, files, files + newFiles);
    const next = measured(`${newFiles} new files`, newFiles * rowsAFile, [self, mode, folder]);
    console.log(
      `cold ${cold.seconds.toFixed(1)} s (90 wanted), ${(cold.seconds / engine.seconds).toFixed(2)} times the engine; next night ${next.seconds.toFixed(1)} s (20 wanted), ${(next.seconds / cold.seconds).toFixed(2)} of the cold one`,
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
};

const [, , mode, folder] = process.argv;
if (mode === '--intake') await runIntake(folder);
else if (mode === '--ourNight') await runNight(folder);
else if (mode === '--engine') await runEngine(folder);
else main();
