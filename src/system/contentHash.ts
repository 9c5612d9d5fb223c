import { createHash } from 'node:crypto';

/** SHA-256 of bytes or UTF-8 text, as 64 hexadecimal digits. */
export const contentHash = (data: string | Uint8Array): string =>
  createHash('sha256').update(data).digest('hex');
