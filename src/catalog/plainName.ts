/** A name as compared with keys and aliases: NFC, trimmed, inner space folded, lower case. */
export const plainName = (text: string): string =>
  text.normalize('NFC').trim().replace(/\s+/g, ' ').toLowerCase();
