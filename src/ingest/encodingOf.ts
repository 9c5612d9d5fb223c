/** How a file's bytes become text. The first `mark` bytes are a byte order mark and are skipped. */
export type Encoding = { name: string; mark: number };

/** Marks of UTF-32, which begins like UTF-16 and is not read. */
const marksOfUtf32 = [
  [0xff, 0xfe, 0, 0],
  [0, 0, 0xfe, 0xff],
];
const marks: { bytes: number[]; name: string }[] = [
  { bytes: [0xef, 0xbb, 0xbf], name: 'utf-8' },
  { bytes: [0xff, 0xfe], name: 'utf-16le' },
  { bytes: [0xfe, 0xff], name: 'utf-16be' },
];

/** Bytes that Windows-1252 leaves undefined; a file that holds one is not in it. */
const isUndefinedIn1252 = (byte: number): boolean =>
  byte === 0x81 || byte === 0x8d || byte === 0x8f || byte === 0x90 || byte === 0x9d;

/**
 * The encoding of a whole file. A byte order mark decides, else the sender's pin. Else UTF-8, unless no line beyond ASCII
 * is UTF-8: then Windows-1252. A file with lines of both kinds stays UTF-8, and its other lines are refused one by one.
 * undefined when the bytes look like UTF-16 without a mark or are UTF-32, or hold bytes that neither encoding has, or signs
 * of Windows-1252 inside words as other encodings read wrongly give, or the pin has no name.
 */
export const encodingOf = (bytes: Uint8Array, pinned?: string): Encoding | undefined => {
  if (marksOfUtf32.some((mark) => mark.every((byte, i) => bytes[i] === byte))) return undefined;
  const marked = marks.find((mark) => mark.bytes.every((byte, i) => bytes[i] === byte));
  if (marked !== undefined) return { name: marked.name, mark: marked.bytes.length };
  if (pinned !== undefined)
    return isEncodingName(pinned) ? { name: pinned.toLowerCase(), mark: 0 } : undefined;
  if (looksLikeUtf16(bytes)) return undefined;
  const kinds = lineKinds(bytes);
  if (kinds.utf8 || !kinds.other) return { name: 'utf-8', mark: 0 };
  return kinds.isDoubtful1252 ? undefined : { name: 'windows-1252', mark: 0 };
};

const isEncodingName = (name: string): boolean => {
  try {
    return new TextDecoder(name).encoding !== '';
  } catch {
    return false;
  }
};

/** Every second of the first bytes is NUL. */
const looksLikeUtf16 = (bytes: Uint8Array): boolean => {
  const shown = Math.min(64, bytes.length - (bytes.length % 2));
  let even = 0;
  let odd = 0;
  for (let i = 0; i < shown; i += 2) {
    if (bytes[i] === 0) even++;
    if (bytes[i + 1] === 0) odd++;
  }
  return shown >= 4 && Math.max(even, odd) > shown * 0.4;
};

type LineKinds = { utf8: boolean; other: boolean; isDoubtful1252: boolean };

/** A sign, or a capital, between small letters: what letters of other encodings become when read as Windows-1252. */
const signInWord =
  /\p{Ll}(?:[\u20ac\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u2039\u2018\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u203a\u00a1-\u00ac\u00ae-\u00b6\u00b8-\u00bf\u00d7\u00f7]|[\u0152\u0160\u0178\u017d])\p{Ll}/u;

/** Which kinds of lines beyond ASCII a file has: valid UTF-8, or other bytes. Lines end at byte 0A in both encodings. */
const lineKinds = (bytes: Uint8Array): LineKinds => {
  const kinds: LineKinds = { utf8: false, other: false, isDoubtful1252: false };
  const strict = new TextDecoder('utf-8', { fatal: true });
  let at = 0;
  while (at < bytes.length && !(kinds.utf8 && kinds.other)) {
    const high = nextHigh(bytes, at);
    if (high < 0) break;
    const end = bytes.indexOf(0x0a, high);
    const next = end < 0 ? bytes.length : end + 1;
    const line = bytes.subarray(bytes.lastIndexOf(0x0a, high) + 1, next);
    try {
      strict.decode(line);
      kinds.utf8 = true;
    } catch {
      kinds.other = true;
      kinds.isDoubtful1252 ||= line.some(isUndefinedIn1252) || signInWord.test(as1252(line));
    }
    at = next;
  }
  return kinds;
};

/** Streaming, as whole decoding of Windows-1252 gives C1 controls for bytes 80 to 9F in Node 20. */
const as1252 = (line: Uint8Array): string => new TextDecoder('windows-1252').decode(line, { stream: true });

/** Place of the first byte above 7F at or after `from`; -1 when there is none. Hot loop over the whole file. */
const nextHigh = (bytes: Uint8Array, from: number): number => {
  let at = from;
  while (at < bytes.length && (bytes.byteOffset + at) % 4 !== 0 && (bytes[at] as number) <= 0x7f) at++;
  if (at < bytes.length && (bytes[at] as number) <= 0x7f) at += 4 * asciiWords(bytes.subarray(at));
  for (let i = at; i < bytes.length; i++) if ((bytes[i] as number) > 0x7f) return i;
  return -1;
};

/** How many words of four bytes, from an aligned start, have no byte above 7F. */
const asciiWords = (bytes: Uint8Array): number => {
  const words = new Int32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
  let count = 0;
  while (count < words.length && ((words[count] as number) & 0x80808080) === 0) count++;
  return count;
};
