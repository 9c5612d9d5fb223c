import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { readCodeKey } from '../../src/publish/readCodeKey.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';

const chain = readChain('sample-data', diskFileSystem);
const named = { ...chain, privacy: { ...chain.privacy, key_file: 'key.txt' } };
const disk = (text: string | undefined): FileSystem => ({
  ...diskFileSystem,
  exists: () => text !== undefined,
  readText: () => text ?? '',
});

describe('readCodeKey', () => {
  it("takes the key file's text, and the chain's name where no file is set", () => {
    expect(readCodeKey('c', named, disk(' secret \n'))).toBe('secret');
    expect(readCodeKey('c', chain, disk(undefined))).toBe(chain.name);
  });

  it('refuses a key file that is missing or empty', () => {
    for (const text of [undefined, ' \n'])
      expect(() => readCodeKey('c', named, disk(text))).toThrow(/key_file: c\/key.txt is missing or empty/);
  });
});
