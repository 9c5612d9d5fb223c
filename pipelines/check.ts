import type { Chain } from '../src/catalog/chain.ts';
import type { Reject } from '../src/ingest/ingested.ts';
import { readOne } from '../src/ingest/readInbox.ts';
import { referenceTables } from '../src/ingest/readReferenceFiles.ts';
import { readSentSchemas } from '../src/ingest/readSchemaFields.ts';
import type { NormalizedFile } from '../src/normalize/normalize.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';
import { delivered } from './delivered.ts';
import { checkedReference } from './referenceIntake.ts';

/** What a night would take from one file: `tests` whole tests, or tests with portions, in order; none of a reference table. */
export type Checked = {
  file: string;
  isReference: boolean;
  state: string;
  rowsRead: number;
  tests: number;
  testsWithPortions: number;
  rejects: Reject[];
};

/**
 * Validates files as a night would read them; writes nothing. `path` is as below inbox/ for cutting tests and portions, and
 * reference/<table>.csv for a reference table.
 */
export const check = (
  files: readonly { place: string; path: string }[],
  { chainFolder, chain, fs, asOfDay }: { chainFolder: string; chain: Chain; fs: FileSystem; asOfDay: number },
): Checked[] => {
  const setting = { chain, ...readSentSchemas(fs), asOfDay };
  return files.map(({ place, path }) => {
    const table = referenceTables.find((name) => path === `reference/${name}.csv`);
    if (table !== undefined) {
      const { state, rowsRead, rejects } = checkedReference(table, fs.readBytes(place), {
        chainFolder,
        chain,
        fs,
        asOfDay,
      });
      return { file: path, isReference: true, state, rowsRead, tests: 0, testsWithPortions: 0, rejects };
    }
    const own = delivered(readOne(place, path, fs), setting);
    return {
      file: path,
      isReference: false,
      state: own.table.state,
      rowsRead: own.table.rowsRead,
      tests: testsIn(own.versions),
      testsWithPortions: own.portions.length,
      rejects: own.rejects,
    };
  });
};

/** Tests of a file, copies of one counted once. */
const testsIn = ({ tests, count }: NormalizedFile['versions']): number =>
  new Set(Array.from({ length: count }, (_, i) => `${tests.store[i]}\u0000${tests.testId[i]}`)).size;
