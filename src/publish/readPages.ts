import type { FileSystem } from '../system/fileSystem.ts';
import { packageRoot } from '../system/packageRoot.ts';
import { readCurrent } from './readRelease.ts';
import type { ClientFiles, PreviousPages } from './sitesInput.ts';

/** The scripts bundled at build. Throws a plain Error naming the build when they are missing. */
export const readClient = (fs: FileSystem): ClientFiles => {
  const text = (name: string): string => {
    const path = `${packageRoot()}/dist/client/${name}`;
    if (!fs.exists(path)) throw new Error(`no ${path}: run the build first`);
    return fs.readText(path);
  };
  return { page: text('page.js'), runtime: text('runtime.js'), program: text('program.txt').trim() };
};

/** The pages of the current release, when the same program wrote them and all are there; else none of them may be used again. */
export const readPages = (
  chainFolder: string,
  program: string,
  fs: FileSystem,
): PreviousPages | undefined => {
  const index = `${chainFolder}/current/pages.json`;
  if (!fs.exists(index)) return undefined;
  const {
    program: wroteBy,
    night,
    files,
    pages,
  } = JSON.parse(fs.readText(index)) as {
    program: string;
    night: string;
    files: Record<string, string>;
    pages: Record<string, string>;
  };
  if (wroteBy !== program || program === '') return undefined;
  const release = readCurrent(chainFolder, fs);
  const there = new Set(fs.list(`${release}/published`));
  if (!fs.exists(`${release}/complete`) || Object.keys(files).some((path) => !there.has(path)))
    return undefined;
  return {
    night,
    paths: Object.keys(files),
    hashOf: (path) => (Object.hasOwn(pages, path) ? pages[path] : undefined),
    fileOf: (path) => ({ from: `${release}/published/${path}`, hash: files[path] as string }),
  };
};
