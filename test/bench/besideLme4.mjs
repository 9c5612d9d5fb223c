// The mixed model engine beside R's lme4 on the same rows, one after the other, each in a process of its own: seconds of work (user and
// system, so that other work on the machine does not count) of
// the fit with all effects and their SDs (median of three after a first one, as a night fits many), their ratio, the REML criterion of both. Without R only our side is printed.
//   npm run build && node test/bench/besideLme4.mjs [rows ...]      (default 100000 300000; add 1000000 5000000 for scale)
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const self = new URL(import.meta.url).pathname;
const dist = new URL('../../dist/src/model/mixed/', import.meta.url);
const largestForR = 300_000;

/** Uniform numbers in [0, 1) from a seed (mulberry32). */
const drawer = (seed) => {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
};

/** A store has 250 tests and 5 cutters up to 1M rows, then more tests each; 12 % of cutters work in two stores. */
const shapeOf = (n) => {
  const stores = Math.round(Math.min(n, 1_000_000) / 250);
  return { n, stores, cutters: stores * 5, suppliers: Math.round(3 * stores ** 0.43) };
};

const drawRows = ({ n, stores, cutters, suppliers }) => {
  const uniform = drawer(20260101);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const drawn = (count, sd) => Float64Array.from({ length: count }, () => sd * normal());
  const effect = { store: drawn(stores, 0.6), cutter: drawn(cutters, 0.8), supplier: drawn(suppliers, 0.6) };
  const second = Int32Array.from({ length: cutters }, () =>
    uniform() < 0.12 ? Math.floor(uniform() * stores) : -1,
  );
  const codes = { cutter: new Int32Array(n), store: new Int32Array(n), supplier: new Int32Array(n) };
  const x = Array.from({ length: 7 }, () => new Float64Array(n));
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const cutter = Math.floor(uniform() * cutters);
    const other = second[cutter];
    const store = other >= 0 && uniform() < 0.5 ? other : cutter % stores;
    const supplier = Math.floor(uniform() ** 1.5 * suppliers);
    const weight = normal();
    const grade = Math.floor(uniform() * 3);
    const row = [
      1,
      +(grade === 1),
      +(grade === 2),
      +(uniform() < 0.3),
      weight,
      weight * weight - 1,
      weight ** 3 - 3 * weight,
    ];
    for (let j = 0; j < 7; j++) x[j][i] = row[j];
    codes.cutter[i] = cutter;
    codes.store[i] = store;
    codes.supplier[i] = supplier;
    y[i] =
      75 +
      row[1] -
      0.8 * row[2] +
      0.5 * row[3] +
      0.9 * weight -
      0.3 * row[5] +
      effect.store[store] +
      effect.cutter[cutter] +
      effect.supplier[supplier] +
      1.9 * normal();
  }
  return { y, x, codes };
};

const bytes = (array) => new Uint8Array(array.buffer, array.byteOffset, array.byteLength);

const byLme4 = (shape) => {
  const folder = mkdtempSync(join(tmpdir(), 'beside-'));
  const { y, x, codes } = drawRows(shape);
  writeFileSync(join(folder, 'y.f64'), bytes(y));
  writeFileSync(join(folder, 'x.f64'), Buffer.concat(x.map(bytes)));
  for (const [name, own] of Object.entries(codes)) writeFileSync(join(folder, `${name}.i32`), bytes(own));
  const script = new URL('./besideLme4.R', import.meta.url).pathname;
  const ran = spawnSync('Rscript', [script, folder, String(shape.n), '7'], { encoding: 'utf8' });
  rmSync(folder, { recursive: true });
  return ran.status === 0 ? JSON.parse(ran.stdout.trim().split('\n').at(-1)) : undefined;
};

const fitHere = async (shape) => {
  const { fitMixedModel } = await import(new URL('fitMixedModel.js', dist).href);
  const { y, x, codes } = drawRows(shape);
  const factors = [
    { codes: codes.cutter, levels: shape.cutters },
    { codes: codes.store, levels: shape.stores },
    { codes: codes.supplier, levels: shape.suppliers },
  ];
  const before = process.memoryUsage().rss;
  const timed = () => {
    const begin = process.cpuUsage();
    const fit = fitMixedModel({ y, x, factors });
    const { user, system } = process.cpuUsage(begin);
    return { fit, seconds: (user + system) / 1e6 };
  };
  const cold = timed();
  const runs = shape.n > largestForR ? [cold] : [timed(), timed(), timed()];
  const { fit, seconds } = runs.sort((a, b) => a.seconds - b.seconds)[runs.length >> 1];
  const { maxRSS } = process.resourceUsage();
  console.log(
    JSON.stringify({
      seconds,
      coldSeconds: cold.seconds,
      criterion: fit.criterion,
      evaluations: fit.evaluations,
      peakMb: maxRSS / 1024,
      rowsMb: before / 2 ** 20,
    }),
  );
};

const byDeckle = (n) => {
  const ran = spawnSync(process.execPath, [self, '--here', String(n)], { encoding: 'utf8' });
  if (ran.status !== 0) throw new Error(ran.stderr);
  return JSON.parse(ran.stdout);
};

if (process.argv[2] === '--here') await fitHere(shapeOf(Number(process.argv[3])));
else {
  const sizes = process.argv.slice(2).map(Number);
  for (const n of sizes.length > 0 ? sizes : [100_000, 300_000]) {
    const shape = shapeOf(n);
    const own = byDeckle(n);
    console.log(
      `${n.toLocaleString('en-US')} tests, ${shape.stores} stores, ${shape.cutters} cutters, ${shape.suppliers} suppliers: ${own.seconds.toFixed(2)} s (the first fit of the process ${own.coldSeconds.toFixed(2)} s), ${own.evaluations} evaluations, peak ${Math.round(own.peakMb)} MB (${Math.round(own.rowsMb)} MB of it the rows), ${((own.seconds / n) * 1e6).toFixed(2)} microseconds a test, criterion ${own.criterion.toFixed(6)}`,
    );
    if (n > largestForR) continue;
    const theirs = byLme4(shape);
    if (theirs === undefined) console.log('  no R with lme4 here: no ratio');
    else
      console.log(
        `  lme4 ${theirs.lme4} on R ${theirs.r}: ${theirs.fit.toFixed(2)} s + ${theirs.effects.toFixed(2)} s effects, criterion ${theirs.criterion.toFixed(6)}: ${((theirs.fit + theirs.effects) / own.seconds).toFixed(1)} times our time`,
      );
  }
}
