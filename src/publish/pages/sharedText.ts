/** What all of the texts are, to be said once instead of in every row; '' where they differ or are one alone. */
export const sharedText = (texts: readonly string[]): string =>
  texts.length > 1 && texts.every((text) => text === texts[0]) ? (texts[0] as string) : '';
