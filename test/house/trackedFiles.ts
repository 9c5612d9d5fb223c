import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';

const skipped = new Set(['node_modules', 'dist', 'coverage', '.git', '.demo', '.scratch']);

const filesBelow = (folder: string): string[] =>
  readdirSync(folder === '' ? '.' : folder, { withFileTypes: true })
    .filter((entry) => !skipped.has(entry.name))
    .flatMap((entry) => {
      const path = folder === '' ? entry.name : `${folder}/${entry.name}`;
      return entry.isDirectory() ? filesBelow(path) : [path];
    });

/** Files of the repository as '/'-separated paths in code-unit order; where there is no git, all files that are there. */
export const trackedFiles = (): string[] => {
  const git = spawnSync('git', ['ls-files', '-z'], { encoding: 'utf8' });
  const paths = git.status === 0 ? git.stdout.split('\u0000').filter((path) => path !== '') : filesBelow('');
  return paths.filter((path) => existsSync(path)).sort();
};

/** Text of a file of the repository. */
export const textOf = (path: string): string => readFileSync(path, 'utf8');
