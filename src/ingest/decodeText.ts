/**
 * Text of a file's bytes. A byte order mark decides (UTF-8, UTF-16 LE/BE); else the sender's encoding; else UTF-8 when
 * every byte fits, else Windows-1252. undefined when a byte is not text in the encoding: nothing is ever replaced.
 */
export const decodeText = (bytes: Uint8Array, encoding?: string): string | undefined => {
  const marked = markedEncoding(bytes);
  const attempt = (name: string): string | undefined => {
    try {
      return new TextDecoder(name, { fatal: true }).decode(bytes);
    } catch {
      return undefined;
    }
  };
  if (marked !== undefined) return attempt(marked);
  if (encoding !== undefined) return attempt(encoding);
  return attempt('utf-8') ?? (bytes.some(isUndefinedIn1252) ? undefined : attempt('windows-1252'));
};

const markedEncoding = (bytes: Uint8Array): string | undefined => {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return 'utf-8';
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  return bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : undefined;
};

const isUndefinedIn1252 = (byte: number): boolean =>
  byte === 0x81 || byte === 0x8d || byte === 0x8f || byte === 0x90 || byte === 0x9d;
