/** Bytes of a file's name; file systems allow 255, and its rejects file adds to it, once for every time it comes back. */
const mostNameBytes = 200;

/** Why rejects could not be given back under the path of a file of the inbox; undefined where they can. */
export const fileNameProblem = (path: string): { found: string; expected: string } | undefined => {
  const [name = '', ...folders] = path.split('/').reverse();
  const bytes = new TextEncoder().encode(name).byteLength;
  if (bytes > mostNameBytes)
    return { found: `a name of ${bytes} bytes`, expected: `a name of at most ${mostNameBytes} bytes` };
  const taken = folders.find((folder) => /\.rejects\.csv$/i.test(folder));
  if (taken !== undefined)
    return { found: `a folder named ${taken}`, expected: 'a folder that is not named like a rejects file' };
  return /^inbox\/reference\//i.test(path)
    ? {
        found: 'a folder named reference',
        expected: 'another folder: the rejects of that one are those of the reference tables',
      }
    : undefined;
};
