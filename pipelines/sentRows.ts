import type { Chain } from '../src/catalog/chain.ts';
import { ingest } from '../src/ingest/ingest.ts';
import { readOne } from '../src/ingest/readInbox.ts';
import { readSchemaFields } from '../src/ingest/readSchemaFields.ts';
import { recordsAt } from '../src/ingest/recordsAt.ts';
import { senderOf } from '../src/ingest/senderOf.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';

/** Rows of a sender's file as sent, with its column names; `note` says why there are none. */
export type SentRows = { header: string[]; rows: { line: number; cells: string[] }[]; note: string };

/** The rows that start on the given lines of a file below inbox/, if it still holds the bytes that were read (SHA-256 in `known`). */
export const sentRows = (
  path: string,
  lines: ReadonlySet<number>,
  { chainFolder, chain, known, fs }: { chainFolder: string; chain: Chain; known: string[]; fs: FileSystem },
): SentRows => {
  const none = (note: string): SentRows => ({ header: [], rows: [], note });
  if (!fs.exists(`${chainFolder}/${path}`)) return none('the file is no longer in the inbox');
  const file = readOne(`${chainFolder}/${path}`, path, fs);
  if (!known.includes(file.sha256)) return none('the file has changed since it was read');
  const sender = senderOf(path.replace(/^inbox\//, ''), chain.senders);
  const delivery = { ...file, sender, fields: readSchemaFields('cutting-tests', fs), outputs: chain.outputs };
  const { header } = ingest(delivery, { limits: chain.limits, asOfDay: Number.POSITIVE_INFINITY });
  const records = recordsAt(delivery, lines, chain.limits);
  return {
    header: [...header],
    rows: [...records].map(([line, cells]) => ({ line, cells: [...cells] })),
    note: '',
  };
};
