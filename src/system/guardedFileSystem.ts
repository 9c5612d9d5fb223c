import type { FileSystem } from './fileSystem.ts';

/**
 * A file system that asks `confirm` right before everything that changes what others see (replacing, renaming, removing,
 * pointing a link), so that a run that was held up and lost its lock changes nothing any more.
 */
export const guardedFileSystem = (fs: FileSystem, confirm: () => void): FileSystem => ({
  ...fs,
  replace: (path, data) => {
    confirm();
    fs.replace(path, data);
  },
  rename: (from, to) => {
    confirm();
    fs.rename(from, to);
  },
  remove: (path) => {
    confirm();
    fs.remove(path);
  },
  pointLink: (link, target) => {
    confirm();
    fs.pointLink(link, target);
  },
});
