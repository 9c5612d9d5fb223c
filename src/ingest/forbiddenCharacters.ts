/**
 * Characters that nobody types and nobody sees: control codes (NUL among them), bidirectional marks and overrides,
 * zero-width space, soft hyphen, byte order mark, line and paragraph separators, lone surrogates, and U+FFFD, which says
 * that text was lost before it came here.
 */
const forbidden =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is what it is for
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060\u2066-\u2069\ufeff\ufff9-\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;
const printableAscii = /^[ -~]*$/;

/** Whether a cell holds a forbidden character. Tabs and line ends inside are allowed where `mayHaveLines`. */
export const hasForbiddenCharacter = (raw: string, mayHaveLines: boolean): boolean => {
  if (printableAscii.test(raw)) return false;
  return forbidden.test(raw) || (!mayHaveLines && /[\t\n\r]/.test(raw.trim()));
};
