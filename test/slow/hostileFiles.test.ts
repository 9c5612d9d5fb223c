import { spawnSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hostileFiles } from '../cases/hostileFiles.ts';

/** Reads a clean file once, then the hostile one; tells its work in seconds, growth of the peak in MiB, and codes. */
const program = `
  import { readFileSync } from 'node:fs';
  import { delivered } from './dist/pipelines/delivered.js';
  import { readChain } from './dist/src/catalog/readChain.js';
  import { readSentSchemas } from './dist/src/ingest/readSchemaFields.js';
  import { diskFileSystem as fs } from './dist/src/system/fileSystem.js';
  const setting = {
    chain: readChain('test/cases/pollution', fs),
    ...readSentSchemas(fs),
    asOfDay: 20780,
  };
  delivered({ path: 'inbox/clean.csv', bytes: readFileSync('test/cases/pollution/clean.csv') }, setting);
  const bytes = readFileSync(process.argv[1]);
  const peak = () => process.resourceUsage().maxRSS / 1024;
  const [before, began] = [peak(), process.cpuUsage()];
  const { rejects } = delivered({ path: 'inbox/hostile.csv', bytes }, setting);
  const { user, system } = process.cpuUsage(began);
  console.log(JSON.stringify({ seconds: (user + system) / 1e6, growth: peak() - before, codes: rejects.map((one) => one.code) }));
`;

describe('a hostile file in a process of its own', () => {
  it.each(Object.keys(hostileFiles))('%s: refused within 2 s of work and 64 MiB more at the peak', (name) => {
    const { content, code } = hostileFiles[name] as (typeof hostileFiles)[string];
    const path = join(mkdtempSync(join(tmpdir(), 'hostile-')), 'hostile.csv');
    writeFileSync(path, content());
    const ran = spawnSync(process.execPath, ['--input-type=module', '-e', program, path], {
      encoding: 'utf8',
    });
    const { seconds, growth, codes } = JSON.parse(ran.stdout);
    console.log(`${name}: ${seconds.toFixed(2)} s, ${growth.toFixed(0)} MiB`);
    expect(codes).toEqual([code]);
    expect(seconds).toBeLessThan(2);
    expect(growth).toBeLessThan(64);
  });
});
