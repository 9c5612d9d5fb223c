/** A text as a sentence begins: a first letter that opens a plain word large, so that keys and codes stay as they are. */
export const sentenceStart = (text: string): string =>
  /^\p{Ll}+(?=[ ,])/u.test(text) ? `${text.charAt(0).toUpperCase()}${text.slice(1)}` : text;

/** A sentence as it goes on after a colon: its first letter small, unless the word is an abbreviation. */
export const midSentence = (text: string): string =>
  /^[A-Z][a-z]/.test(text) ? `${text[0]?.toLowerCase()}${text.slice(1)}` : text;
