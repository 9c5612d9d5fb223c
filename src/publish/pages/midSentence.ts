/** A sentence as it goes on after a colon: its first letter small, unless the word is an abbreviation. */
export const midSentence = (text: string): string =>
  /^[A-Z][a-z]/.test(text) ? `${text[0]?.toLowerCase()}${text.slice(1)}` : text;
