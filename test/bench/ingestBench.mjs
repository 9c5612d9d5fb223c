// What the benches of the ingest have in common: rows to read, a chain to read them by, and the yardstick.
import { spawnSync } from 'node:child_process';
import { closeSync, cpSync, mkdirSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';

const header =
  'test_id,store,cutter,cut_date,item,spec,grade,supplier,lot,billed_weight,received_weight,weighed,purge_weight,unit,unit_cost,method,minutes,output,output_weight,pieces,note';

/** A chain's folder with nothing in its inbox yet. */
export const makeChain = (folder) => {
  mkdirSync(join(folder, 'inbox'));
  mkdirSync(join(folder, 'reference'));
  cpSync(new URL('../cases/pollution/chain.yaml', import.meta.url), join(folder, 'chain.yaml'));
  writeFileSync(
    join(folder, 'reference/prices.csv'),
    'output,price,unit,valid_from,kind\nfat,0.5,lb,2025-01-01,regular\n',
  );
};

/**
 * A file of `rows` rows from the test numbered `first` on: four outputs a test, 200 stores, 2,000 cutters, one row in 1,000
 * with a letter in its weight.
 */
export const writeRows = (path, rows, first = 0) => {
  mkdirSync(dirname(path), { recursive: true });
  const file = openSync(path, 'w');
  let text = `${header}\n`;
  for (let row = 0, test = first; row < rows; test++) {
    const day = new Date(Date.UTC(2025, 0, 1 + (test % 650))).toISOString().slice(0, 10);
    const billed = 11 + ((test * 7) % 500) / 100;
    const purge = 0.1 + (test % 13) / 100;
    const drained = billed - purge;
    const about = `T-${String(test).padStart(7, '0')},s-${String(test % 200).padStart(3, '0')},c-${String(test % 2000).padStart(4, '0')},${day},${test % 3 ? '112A' : '180'},${test % 3 ? '' : '0x1'},${test % 4 ? 'Choice' : 'Select'},Millrace Meats,L${test % 977},${billed.toFixed(2)},${billed.toFixed(2)},in-bag,${purge.toFixed(2)},lb,${(10 + (test % 90) / 50).toFixed(2)},${test % 3 ? 'whole steaks' : 'steaks'},${(6 + (test % 50) / 10).toFixed(1)}`;
    const main = drained * (0.76 + ((test * 11) % 60) / 1000);
    const outputs = [
      [test % 3 ? 'ribeye steak' : 'strip steak', main, '12'],
      ['lean trim', (drained - main) * 0.5, ''],
      ['fat', (drained - main) * 0.4, ''],
      ['bone', (drained - main) * 0.08, ''],
    ];
    for (const [output, weight, pieces] of outputs) {
      if (row++ >= rows) break;
      text += `${about},${output},${row % 1000 === 0 ? 'x' : weight.toFixed(2)},${pieces},${row % 40 === 0 ? '"checked, twice"' : ''}\n`;
    }
    if (text.length > 1 << 20) {
      writeSync(file, text);
      text = '';
    }
  }
  writeSync(file, text);
  closeSync(file);
};

/** Prints what a child process measured since `began`, for its parent. */
export const report = (began, cpuBegan, accepted) => {
  const { user, system } = process.cpuUsage(cpuBegan);
  console.log(
    JSON.stringify({
      seconds: (performance.now() - began) / 1000,
      cpu: (user + system) / 1e6,
      rss: process.resourceUsage().maxRSS / 1024,
      accepted,
    }),
  );
};

/** The yardstick: an embedded columnar SQL engine on one thread that types all CSVs of the inbox, keeps rejects and writes its table. */
export const runEngine = async (folder) => {
  const { DuckDBInstance } = await import('@duckdb/node-api');
  const texts = [
    'test_id',
    'store',
    'cutter',
    'item',
    'spec',
    'grade',
    'supplier',
    'lot',
    'weighed',
    'unit',
    'method',
    'output',
    'note',
  ];
  const columns = header
    .split(',')
    .map(
      (name) =>
        `'${name}': '${name === 'cut_date' ? 'DATE' : name === 'pieces' ? 'INTEGER' : texts.includes(name) ? 'VARCHAR' : 'DOUBLE'}'`,
    );
  const [began, cpu] = [performance.now(), process.cpuUsage()];
  const instance = await DuckDBInstance.create(join(folder, 'engine.db'), { threads: '1' });
  const connection = await instance.connect();
  await connection.run(
    `create table rows as select * from read_csv('${join(folder, 'inbox/**/*.csv')}', header = true, columns = {${columns.join(', ')}}, store_rejects = true)`,
  );
  await connection.run('checkpoint');
  const result = await connection.runAndReadAll('select count(*)::int from rows');
  report(began, cpu, result.getRows()[0][0]);
};

/** Runs one measurement in a process of its own and prints it. `rows`: those it reads. */
export const measured = (label, rows, args) => {
  const ran = spawnSync(process.execPath, args, { encoding: 'utf8', maxBuffer: 1 << 28 });
  if (ran.status !== 0) throw new Error(`${label}: ${ran.stderr}`);
  const { seconds, cpu, rss, accepted } = JSON.parse(ran.stdout.trim().split('\n').at(-1));
  console.log(
    `${label.padEnd(28)} ${seconds.toFixed(2)} s wall, ${cpu.toFixed(2)} s of work, ${Math.round(rows / seconds).toLocaleString('en-US')} rows/s, peak ${Math.round(rss)} MB, ${accepted} rows taken`,
  );
  return { seconds, cpu };
};
