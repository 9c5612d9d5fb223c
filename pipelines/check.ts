import type { Chain } from '../src/catalog/chain.ts';
import type { Reject } from '../src/ingest/ingested.ts';
import { readOne } from '../src/ingest/readInbox.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { delivered } from './delivered.ts';

/** What a night would take from one file: `tests` whole tests, or tests with portions, in order. */
export type Checked = {
  file: string;
  state: string;
  rowsRead: number;
  tests: number;
  testsWithPortions: number;
  rejects: Reject[];
};

/** Validates delivered files (cutting tests or portions) as a night would read them; writes nothing. `path` is as below inbox/. */
export const check = (
  files: readonly { place: string; path: string }[],
  { chain, fs, asOfDay }: { chain: Chain; fs: FileSystem; asOfDay: number },
): Checked[] => {
  const tests = readSchemaFields('cutting-tests', fs);
  const portions = readSchemaFields('portions', fs);
  return files.map(({ place, path }) => {
    const own = delivered(readOne(place, path, fs), { chain, tests, portions, asOfDay });
    return {
      file: path,
      state: own.table.state,
      rowsRead: own.table.rowsRead,
      tests: own.versions.length,
      testsWithPortions: own.portions.length,
      rejects: own.rejects,
    };
  });
};
