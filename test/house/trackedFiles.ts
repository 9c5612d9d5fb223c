import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const skipped = new Set(['node_modules', 'dist', 'coverage', '.git', '.demo', '.scratch']);

/** Files of the repository below a folder ('' = all of it), as '/'-separated paths in code-unit order. */
export const filesBelow = (folder: string): string[] =>
  readdirSync(folder === '' ? '.' : folder, { withFileTypes: true })
    .filter((entry) => !skipped.has(entry.name))
    .flatMap((entry) => {
      const path = folder === '' ? entry.name : `${folder}/${entry.name}`;
      return entry.isDirectory() ? filesBelow(path) : [path];
    })
    .sort();

/** Text of a file of the repository. */
export const textOf = (path: string): string => readFileSync(join('.', path), 'utf8');
