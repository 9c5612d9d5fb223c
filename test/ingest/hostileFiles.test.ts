import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { hostileFiles } from '../cases/hostileFiles.ts';

const chain = readChain('test/cases/pollution', diskFileSystem);
const setting = {
  chain,
  ...readSentSchemas(diskFileSystem),
  asOfDay: dayFromIso('2026-11-23'),
};
// Peak memory is measured in a process of its own: test/slow/hostileFiles.test.ts.
describe('hostile files', () => {
  it.each(Object.keys(hostileFiles))('%s: refused within 2 s of work', (name) => {
    const { content, code } = hostileFiles[name] as (typeof hostileFiles)[string];
    const file = { path: 'inbox/hostile.csv', bytes: content() };
    const began = process.cpuUsage();
    const own = delivered(file, setting);
    const { user, system } = process.cpuUsage(began);
    expect((user + system) / 1e6).toBeLessThan(2);
    expect(own.table.state).toBe('quarantined');
    expect(own.rejects.map((reject) => reject.code)).toEqual([code]);
    expect(own.versions.count).toBe(0);
  });
});
