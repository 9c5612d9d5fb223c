// The three sites of a chain of 1,000 stores and 5,000 cutters, from a simulated night: the sample chain's own, its stores
// repeated under new names and some of their cutters split in two. Seconds, peak memory, size on disk; then once more with
// nothing changed.
//   npm run build && node --max-old-space-size=1300 test/bench/manyStores.mjs [stores]
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { table } from 'arquero';
import { takeIn } from '../../dist/pipelines/intake.js';
import { judge } from '../../dist/pipelines/judge.js';
import { readChain } from '../../dist/src/catalog/readChain.js';
import { publishedSites } from '../../dist/src/publish/publishedSites.js';
import { readClient, readPages } from '../../dist/src/publish/readPages.js';
import { writeRelease } from '../../dist/src/publish/writeRelease.js';
import { diskFileSystem } from '../../dist/src/system/fileSystem.js';
import { keyedCode } from '../../dist/src/system/keyedCode.js';
import { dayFromIso } from '../../dist/src/units/calendarDay.js';

const stores = Number(process.argv[2] ?? 1000);
const cuttersPerStore = 5;
const asOfDay = dayFromIso('2026-11-23');

/** The sample chain's night, from its files to its findings. */
const sampleNight = async () => {
  const folder = join(mkdtempSync(join(tmpdir(), 'many-stores-')), 'chain');
  for (const part of ['chain.yaml', 'inbox', 'reference'])
    cpSync(`sample-data/${part}`, join(folder, part), { recursive: true });
  const chain = readChain(folder, diskFileSystem);
  const { night, intake, rejects } = takeIn({ chainFolder: folder, chain, fs: diskFileSystem, asOfDay });
  const judged = await judge(night, chain, asOfDay);
  rmSync(folder, { recursive: true });
  return { chain, reference: night.reference, intake, rejects, ...judged };
};

/** In how many a cutter is split, so that every room has five. */
const partsOf = (room, cutter) =>
  Math.floor(cuttersPerStore / room.length) + (room.indexOf(cutter) < cuttersPerStore % room.length ? 1 : 0);

/** Which stores of the sample stand for which of ours, and which cutter a test of theirs gets. */
const placesOf = (night) => {
  const own = night.found.stores.map((row) => row.store);
  const cutters = new Map(own.map((store) => [store, []]));
  for (const { store, cutter } of night.measured.tests.objects()) {
    const room = cutters.get(store);
    if (!room.includes(cutter)) room.push(cutter);
  }
  return Array.from({ length: stores }, (_, i) => {
    const store = own[i % own.length];
    const copy = Math.floor(i / own.length);
    const room = cutters.get(store);
    return {
      from: store,
      store: copy === 0 ? store : `${store}-${copy}`,
      name: (name) => (copy === 0 ? name : `${name}, ${copy}`),
      cutterOf: (cutter, turn) =>
        cutter === '' ? '' : `${cutter}-${i}-${Math.floor(turn / 7) % partsOf(room, cutter)}`,
      parts: (cutter) => partsOf(room, cutter),
    };
  });
};

/** Every store sends files of its own. */
const fileOf = ({ from, store }, file) => {
  if (store === from) return file;
  const name = `${file}-${store}`;
  // one text a file, not one a test
  fileNames.set(name, fileNames.get(name) ?? name);
  return fileNames.get(name);
};
const fileNames = new Map();

const manyStores = (night, places) => {
  const byStore = (rows, key = 'store') => {
    const found = new Map();
    for (const row of rows) found.set(row[key], [...(found.get(row[key]) ?? []), row]);
    return (store) => found.get(store) ?? [];
  };
  // Column by column: rows of a hundred fields would fill the memory that is to be measured.
  const tableOf = (source) => {
    const storeOf = Array.from(source.array('store'));
    const rowsOfStore = new Map();
    storeOf.forEach((store, row) => {
      rowsOfStore.set(store, [...(rowsOfStore.get(store) ?? []), row]);
    });
    const column = (name) => {
      const values = Array.from(source.array(name));
      return places.flatMap((place) =>
        (rowsOfStore.get(place.from) ?? []).map((row, turn) => {
          if (name === 'store') return place.store;
          if (name === 'sourceFile') return fileOf(place, values[row]);
          return name === 'cutter' ? place.cutterOf(values[row], turn) : values[row];
        }),
      );
    };
    return table(Object.fromEntries(source.columnNames().map((name) => [name, column(name)])));
  };
  const { effects } = night.modeled;
  const storeOfCutter = new Map(night.measured.tests.objects().map((row) => [row.cutter, row.store]));
  const ofRoom = byStore(
    effects.filter((row) => row.kind.startsWith('store')),
    'id',
  );
  const ofPeople = byStore(
    effects
      .filter((row) => row.kind.startsWith('cutter'))
      .map((row) => ({ ...row, home: storeOfCutter.get(row.id) })),
    'home',
  );
  const repeated = (rows) => {
    const own = byStore(rows);
    return [
      ...rows.filter((row) => row.store === ''),
      ...places.flatMap((place) =>
        own(place.from).map((row) => ({
          ...row,
          store: place.store,
          ...(row.name === undefined ? {} : { name: place.name(row.name) }),
          ...(typeof row.cutter === 'string' ? { cutter: place.cutterOf(row.cutter, 0) } : {}),
        })),
      ),
    ];
  };
  const filesOf = new Map(places.map(({ from }) => [from, new Set()]));
  for (const { store, sourceFile } of night.measured.tests.objects()) filesOf.get(store)?.add(sourceFile);
  const ofFiles = (rows, key) =>
    places.flatMap((place) =>
      rows
        .filter((row) => filesOf.get(place.from).has(row[key]))
        .map((row) => ({ ...row, [key]: fileOf(place, row[key]) })),
    );
  const sampleStoreOf = new Map(places.map(({ store, from }) => [store, from]));
  return {
    ...night,
    intake: ofFiles(night.intake, 'file'),
    rejects: ofFiles(night.rejects, 'sourceFile'),
    measured: { ...night.measured, tests: tableOf(night.measured.tests) },
    modeled: {
      ...night.modeled,
      expected: tableOf(night.modeled.expected),
      termsOf: (store, testId, outcome) => night.modeled.termsOf(sampleStoreOf.get(store), testId, outcome),
      effects: places.flatMap((place) => [
        ...ofRoom(place.from).map((row) => ({ ...row, id: place.store, store: place.store })),
        ...ofPeople(place.from).flatMap((row) =>
          Array.from({ length: place.parts(row.id) }, (_, turn) => ({
            ...row,
            id: place.cutterOf(row.id, turn),
            store: place.store,
          })),
        ),
      ]),
    },
    found: {
      ...night.found,
      findings: repeated(night.found.findings),
      losses: repeated(night.found.losses),
      stores: repeated(night.found.stores).map((row) => ({ ...row, cutters: cuttersPerStore })),
      owed: repeated(night.found.owed),
    },
  };
};

/** Seconds on the clock and of the processor since it was set. */
const stopwatch = () => {
  const [wall, cpu] = [performance.now(), process.cpuUsage()];
  return () => {
    const { user, system } = process.cpuUsage(cpu);
    return { wall: (performance.now() - wall) / 1000, cpu: (user + system) / 1e6 };
  };
};
const told = ({ wall, cpu }) => `${wall.toFixed(1)} s (${cpu.toFixed(1)} s of processor)`;
const megabytes = (bytes) => `${(bytes / 2 ** 20).toFixed(0)} MiB`;

const manyNight = async () => {
  const night = await sampleNight();
  return manyStores(night, placesOf(night));
};

const input = {
  ...(await manyNight()),
  asOfDay,
  client: readClient(diskFileSystem),
  cutterCode: (cutter) => keyedCode('bench', cutter),
};
const cutters = new Set(input.measured.tests.array('cutter')).size;
console.log(
  `${input.found.stores.length} stores, ${cutters} cutters, ${input.measured.tests.numRows()} tests, ${input.found.findings.length} findings; ${megabytes(process.memoryUsage().rss)} held by the night's tables`,
);

const chainFolder = mkdtempSync(join(tmpdir(), 'many-sites-'));
const kept = { beforeDay: Number.NEGATIVE_INFINITY, most: 1 };
/** One night's sites written as a release in force, as a nightly run does: seconds, files, and pages drawn. */
const publishSites = async (night) => {
  const time = stopwatch();
  const previous = readPages(chainFolder, input.client.program, diskFileSystem);
  const { files, pages } = await publishedSites({ ...night, previous });
  writeRelease(chainFolder, { day: '2026-11-23', files, kept }, diskFileSystem);
  return { ...time(), files, ...pages };
};
const shareOf = (night, build) =>
  `${((100 * night.wall) / build.wall).toFixed(1)} % of the build by the clock, ${((100 * night.cpu) / build.cpu).toFixed(1)} % of its processor time (aim 10 %)`;

const { files: written, ...first } = await publishSites(input);
const bytes = [...written.values()].reduce((sum, text) => sum + Buffer.byteLength(text), 0);
const peak = process.resourceUsage().maxRSS * 1024;
console.log(
  `build: ${told(first)}, ${first.drawn} pages, ${megabytes(bytes)} on disk, peak ${megabytes(peak)} (aim 180 s, 1,536 MiB)`,
);
for (const [name, text] of [...written].sort((a, b) => b[1].length - a[1].length).slice(0, 5))
  console.log(`  ${name}: ${(text.length / 1024).toFixed(0)} KiB`);
written.clear();

const second = await publishSites(input);
console.log(`nothing changed: ${told(second)}, ${second.drawn} pages drawn again, ${shareOf(second, first)}`);

// Another night: one test of one cutter differs. Pages are compared one by one.
const yields = Array.from(input.measured.tests.array('mainCutYield'));
yields[0] += 0.001;
const tests = input.measured.tests.assign(table({ mainCutYield: yields }));
const third = await publishSites({ ...input, measured: { ...input.measured, tests } });
console.log(`one test changed: ${told(third)}, ${third.drawn} pages drawn again`);
rmSync(chainFolder, { recursive: true });
