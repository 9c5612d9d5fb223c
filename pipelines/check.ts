import type { Chain } from '../src/catalog/chain.ts';
import { ingest } from '../src/ingest/ingest.ts';
import type { Reject } from '../src/ingest/ingested.ts';
import { readOne } from '../src/ingest/readInbox.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import { senderOf } from '../src/ingest/senderOf.ts';
import { normalize } from '../src/normalize/normalize.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';

export type Checked = { file: string; state: string; rowsRead: number; tests: number; rejects: Reject[] };

/** Validates delivered cutting-test files as a night would read them; writes nothing. `path` is as below inbox/. */
export const check = (
  files: readonly { place: string; path: string }[],
  setting: { chain: Chain; fs: FileSystem; asOfDay: number },
): Checked[] =>
  files.map(({ place, path }) => {
    const { chain, fs, asOfDay } = setting;
    const file = readOne(place, path, fs);
    const sender = senderOf(path, chain.senders);
    const table = ingest(
      { path, bytes: file.bytes, sender, fields: readSchemaFields('cutting-tests', fs) },
      { limits: chain.limits, asOfDay },
    );
    const normalized = normalize(path, table, sender, chain);
    return {
      file: path,
      state: table.state,
      rowsRead: table.rowsRead,
      tests: normalized.versions.length,
      rejects: [...table.rejects, ...normalized.rejects],
    };
  });
