/** First bytes of files that are no text, and what they are. ISO 32000, RFC 1952, the ZIP and OLE formats; from memory. */
const signatures: { bytes: number[]; kind: string }[] = [
  { bytes: [0x50, 0x4b, 0x03, 0x04], kind: 'a spreadsheet workbook or ZIP archive' },
  { bytes: [0xd0, 0xcf, 0x11, 0xe0], kind: 'an old spreadsheet workbook' },
  { bytes: [0x1f, 0x8b], kind: 'a compressed file' },
  { bytes: [0x25, 0x50, 0x44, 0x46], kind: 'a PDF' },
];
const texts: { pattern: RegExp; kind: string }[] = [
  { pattern: /^\s*<(?:!doctype html|html|table|head|body)\b/i, kind: 'a web page' },
  { pattern: /^\s*<\?xml\b/i, kind: 'an XML file' },
];

/** What a file is that is certainly no CSV, by its first bytes or its name; '' when it may be one. */
export const fileKind = (path: string, bytes: Uint8Array): string => {
  const signed = signatures.find((one) => one.bytes.every((byte, i) => bytes[i] === byte));
  if (signed !== undefined) return signed.kind;
  const start = new TextDecoder('latin1')
    .decode(bytes.subarray(0, 400))
    .replace(/^(?:ï»¿|ÿþ|þÿ)/, '')
    .replaceAll('\0', '');
  const marked = texts.find((one) => one.pattern.test(start))?.kind ?? '';
  return marked === '' && !/\.csv$/i.test(path) ? `a file named ${path.replace(/^.*\//, '')}` : marked;
};
