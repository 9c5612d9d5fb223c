import { stringify } from 'csv-stringify/sync';
import type { FileSystem } from '../system/fileSystem.ts';

/** Rows to mend: the sender's own columns untouched, then what is wrong with each. */
export type RejectsFile = {
  path: string;
  header: readonly string[];
  rows: {
    record: readonly string[];
    code: string;
    field: string;
    message: string;
    remedy: string;
    line: number;
  }[];
};

/** Writes rejects/<path of the sender's file>.rejects.csv for every file that has some, and removes those that are mended. */
export const writeRejects = (chainFolder: string, files: readonly RejectsFile[], fs: FileSystem): void => {
  for (const file of files) {
    const path = `${chainFolder}/rejects/${file.path.replace(/^inbox\//, '')}.rejects.csv`;
    if (file.rows.length === 0) {
      fs.remove(path);
      continue;
    }
    const records = file.rows.map((row) => [
      ...file.header.map((_, i) => row.record[i] ?? ''),
      row.code,
      row.field,
      row.message,
      row.remedy,
      String(row.line),
    ]);
    const text = stringify([[...file.header, 'code', 'field', 'message', 'remedy', 'line'], ...records], {
      record_delimiter: '\r\n',
    });
    fs.replace(path, text);
  }
};
