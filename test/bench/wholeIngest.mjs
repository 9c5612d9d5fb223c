// Whole ingest of one large file on one thread (parse, hash, validate, normalize, lake) against an embedded columnar SQL
// engine on one thread that does a typed read with rejects and writes its table. Each in a process of its own; the ratio is
// the least of `rounds`, as another load on the machine only ever adds.
//   npm run build && node test/bench/wholeIngest.mjs [rows] [rounds]
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { makeChain, measured, report, runEngine, writeRows } from './ingestBench.mjs';

const self = new URL(import.meta.url).pathname;
const dist = new URL('../../dist/', import.meta.url);

const runOurs = async (folder) => {
  const { takeIn } = await import(new URL('pipelines/intake.js', dist));
  const { readChain } = await import(new URL('src/catalog/readChain.js', dist));
  const { diskFileSystem: fs } = await import(new URL('src/system/fileSystem.js', dist));
  const [began, cpu] = [performance.now(), process.cpuUsage()];
  const intake = takeIn({ chainFolder: folder, chain: readChain(folder, fs), fs, asOfDay: 20780 });
  intake.commit();
  report(began, cpu, intake.intake[0].accepted);
};

const main = () => {
  const rows = Number(process.argv[2] ?? 1_000_000);
  const rounds = Number(process.argv[3] ?? 1);
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  try {
    makeChain(folder);
    const file = join(folder, 'inbox/rows.csv');
    writeRows(file, rows);
    console.log(`${rows.toLocaleString('en-US')} rows, ${Math.round(statSync(file).size / 1e6)} MB`);
    const least = { seconds: Number.POSITIVE_INFINITY, cpu: Number.POSITIVE_INFINITY };
    const best = { engine: { ...least }, ours: { ...least } };
    const keep = (of, found) => {
      for (const name of ['seconds', 'cpu']) of[name] = Math.min(of[name], found[name]);
    };
    for (let round = 0; round < rounds; round++) {
      keep(best.engine, measured('columnar SQL engine', rows, [self, '--engine', folder]));
      keep(best.ours, measured('whole ingest', rows, [self, '--ours', folder]));
      for (const name of ['engine.db', 'lake', 'rejects']) rmSync(join(folder, name), { recursive: true });
    }
    console.log(
      `ratio ${(best.ours.seconds / best.engine.seconds).toFixed(2)} by wall, ${(best.ours.cpu / best.engine.cpu).toFixed(2)} by work (at most 4 wanted)`,
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
};

if (process.argv[2] === '--ours') await runOurs(process.argv[3]);
else if (process.argv[2] === '--engine') await runEngine(process.argv[3]);
else main();
