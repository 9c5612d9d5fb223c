import { mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { readPages } from '../../src/publish/readPages.ts';
import { diskFileSystem as disk } from '../../src/system/fileSystem.ts';

const page = 'director/index.html';

describe('the pages of the release in force', () => {
  let folder: string;
  let release: string;

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'pages-'));
    release = join(folder, 'releases/one');
    const index = { program: 'p', night: 'n', files: { [page]: 'f1' }, pages: { [page]: 'd1' } };
    disk.write(join(release, 'pages.json'), JSON.stringify(index));
    disk.write(join(release, 'complete'), '1');
    disk.write(join(release, 'published', page), '<p>');
    symlinkSync('releases/one', join(folder, 'current'));
  });

  it('are told by the hash of their data, of their bytes, and by where they lie in the release itself', () => {
    const pages = readPages(folder, 'p', disk);
    expect(pages?.night).toBe('n');
    expect(pages?.paths).toEqual([page]);
    expect([pages?.hashOf(page), pages?.hashOf('toString')]).toEqual(['d1', undefined]);
    expect(pages?.fileOf(page)).toEqual({ from: join(release, 'published', page), hash: 'f1' });
  });

  it('are not used again when another program wrote them, one is missing, or the release is not whole', () => {
    expect(readPages(folder, 'q', disk)).toBeUndefined();
    expect(readPages(join(folder, 'none'), 'p', disk)).toBeUndefined();
    rmSync(join(release, 'complete'));
    expect(readPages(folder, 'p', disk)).toBeUndefined();
    disk.write(join(release, 'complete'), '1');
    rmSync(join(release, 'published', page));
    expect(readPages(folder, 'p', disk)).toBeUndefined();
  });
});
