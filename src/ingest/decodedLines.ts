import type { Encoding } from './encodingOf.ts';

/**
 * One physical line without its line end. `byteOffset` counts from the start of the file, byte order mark included.
 * `isText` is false when its bytes are not text in the encoding; `text` then shows them as Latin-1.
 */
export type DecodedLine = { text: string; sourceLine: number; byteOffset: number; isText: boolean };

/** Bytes decoded at once; a line longer than this is given back alone, cut to this length. */
const pieceBytes = 1 << 20;
const undefinedIn1252 = /[\u0081\u008d\u008f\u0090\u009d]/;

/**
 * The lines of a file, one call a line, undefined at its end. CRLF, LF and mixed line ends; CR alone where a file has no LF.
 * UTF-16 is decoded whole (its file limit bounds it), everything else piece by piece. Nothing is ever replaced: lines that
 * are not text are marked. `isWhole` of the result is false when UTF-16 text is broken: then there are no lines.
 */
export const decodedLines = (
  bytes: Uint8Array,
  encoding: Encoding,
): { next: () => DecodedLine | undefined; isWhole: boolean } => {
  if (encoding.name.startsWith('utf-16')) return wideLines(bytes, encoding);
  const newline = bytes.subarray(0, pieceBytes).includes(0x0a) ? 0x0a : 0x0d;
  const decode = decoderOf(encoding.name);
  let at = encoding.mark;
  let sourceLine = 0;
  let piece: Piece = emptyPiece;
  const next = (): DecodedLine | undefined => {
    if (piece.place >= piece.text.length && piece.lines === undefined) {
      if (at >= bytes.length) return undefined;
      const end = pieceEnd(bytes, at, newline);
      piece = pieceOf(bytes, { start: at, end, newline }, decode);
      at = end;
    }
    sourceLine++;
    return piece.lines === undefined
      ? nextInText(piece, sourceLine, newline)
      : nextInLines(piece, sourceLine);
  };
  return { next, isWhole: true };
};

type Decode = (bytes: Uint8Array) => string | undefined;
type Piece = {
  text: string;
  place: number;
  bytes: Uint8Array;
  byteOffset: number;
  bytePlace: number;
  isOneBytePerCharacter: boolean;
  /** Set when the piece is not text as a whole: its lines, decoded one by one. */
  lines: Omit<DecodedLine, 'sourceLine'>[] | undefined;
};
const emptyPiece: Piece = {
  text: '',
  place: 0,
  bytes: new Uint8Array(),
  byteOffset: 0,
  bytePlace: 0,
  isOneBytePerCharacter: true,
  lines: undefined,
};

const decoderOf = (name: string): Decode => {
  const decoder = new TextDecoder(name, { fatal: true, ignoreBOM: true });
  // Whole decoding of Windows-1252 gives C1 controls for bytes 80 to 9F in Node 20 (its fast path is Latin-1); streaming is right.
  const stream = decoder.encoding === 'windows-1252';
  return (bytes) => {
    try {
      const text = decoder.decode(bytes, { stream });
      return stream && undefinedIn1252.test(text) ? undefined : text;
    } catch {
      return undefined;
    }
  };
};

/** End of the piece: after its last line end; a line that does not end within a piece is taken to where it does. */
const pieceEnd = (bytes: Uint8Array, start: number, newline: number): number => {
  const limit = start + pieceBytes;
  if (limit >= bytes.length) return bytes.length;
  const last = bytes.lastIndexOf(newline, limit - 1);
  if (last >= start) return last + 1;
  const first = bytes.indexOf(newline, limit);
  return first < 0 ? bytes.length : first + 1;
};

const pieceOf = (
  bytes: Uint8Array,
  span: { start: number; end: number; newline: number },
  decode: Decode,
): Piece => {
  const own = bytes.subarray(span.start, span.end);
  const text = decode(own);
  const about = { bytes: own, byteOffset: span.start, bytePlace: 0, place: 0 };
  if (text !== undefined)
    return { ...about, text, isOneBytePerCharacter: text.length === own.length, lines: undefined };
  const lines: Omit<DecodedLine, 'sourceLine'>[] = [];
  for (let at = 0; at < own.length; ) {
    const found = own.indexOf(span.newline, at);
    const end = found < 0 ? own.length : found;
    const line = own.subarray(at, end);
    const decoded = decode(line);
    lines.push({
      text: withoutReturn(decoded ?? new TextDecoder('latin1').decode(line)),
      byteOffset: span.start + at,
      isText: decoded !== undefined,
    });
    at = end + 1;
  }
  return { ...about, text: '', isOneBytePerCharacter: false, lines: lines.reverse() };
};

const withoutReturn = (line: string): string => (line.endsWith('\r') ? line.slice(0, -1) : line);

const nextInText = (piece: Piece, sourceLine: number, newline: number): DecodedLine => {
  const found = piece.text.indexOf(newline === 0x0a ? '\n' : '\r', piece.place);
  const end = found < 0 ? piece.text.length : found;
  const text = withoutReturn(piece.text.slice(piece.place, end));
  const byteOffset = piece.byteOffset + (piece.isOneBytePerCharacter ? piece.place : piece.bytePlace);
  piece.place = end + 1;
  if (!piece.isOneBytePerCharacter) {
    const byteEnd = piece.bytes.indexOf(newline, piece.bytePlace);
    piece.bytePlace = byteEnd < 0 ? piece.bytes.length : byteEnd + 1;
  }
  return { text, sourceLine, byteOffset, isText: true };
};

const nextInLines = (piece: Piece, sourceLine: number): DecodedLine => {
  const line = (piece.lines as Omit<DecodedLine, 'sourceLine'>[]).pop() as Omit<DecodedLine, 'sourceLine'>;
  if (piece.lines?.length === 0) piece.lines = undefined;
  return { ...line, sourceLine };
};

const wideLines = (bytes: Uint8Array, encoding: Encoding): ReturnType<typeof decodedLines> => {
  const text = decoderOf(encoding.name)(bytes.subarray(encoding.mark));
  if (text === undefined) return { next: () => undefined, isWhole: false };
  const newline = text.includes('\n') ? '\n' : '\r';
  let place = 0;
  let sourceLine = 0;
  const next = (): DecodedLine | undefined => {
    if (place >= text.length) return undefined;
    const found = text.indexOf(newline, place);
    const end = found < 0 ? text.length : found;
    const line = withoutReturn(text.slice(place, end));
    const byteOffset = encoding.mark + 2 * place;
    place = end + 1;
    sourceLine++;
    return { text: line, sourceLine, byteOffset, isText: true };
  };
  return { next, isWhole: true };
};
