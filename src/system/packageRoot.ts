import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder that holds package.json, schemas/ and dist/, from source or compiled code alike. */
export const packageRoot = (): string => {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (dirname(folder) !== folder) {
    const candidate = join(folder, 'package.json');
    if (existsSync(candidate) && JSON.parse(readFileSync(candidate, 'utf8')).name === 'deckle') return folder;
    folder = dirname(folder);
  }
  throw new Error('packageRoot: no package.json of deckle above the program');
};
