import { createHmac } from 'node:crypto';

/** A short code for a name under a key: the first 8 hexadecimal digits of HMAC-SHA-256 (RFC 2104). */
export const keyedCode = (key: string, name: string): string =>
  createHmac('sha256', key).update(name).digest('hex').slice(0, 8);
