import { contentHash } from '../system/contentHash.ts';

/** A file of the release in force that the next one holds unchanged: where it lies, and the hash of its bytes. */
export type KeptFile = { from: string; hash: string };
/** A file of a release: its text, or the file it is taken over from. */
export type ReleaseFile = string | KeptFile;

/** Text of a file that is written anew; '' of one that is taken over, or of none. */
export const writtenText = (file: ReleaseFile | undefined): string => (typeof file === 'string' ? file : '');

/** SHA-256 of a file's bytes; one that is taken over is not read for it. */
export const fileHash = (file: ReleaseFile): string =>
  typeof file === 'string' ? contentHash(file) : file.hash;
