const narrow = /[ijlI.,:;'|!()[\] ]/;
const wide = /[mwMW@%—…]/;
const capital = /[A-Z0-9$€£&–]/;

/**
 * Width of a text in pixels without a canvas, by kinds of letters of a usual sans-serif face: within some 8 % of what
 * browsers draw, and the same on every machine. Vega's own guess is 0.8 of the size for every letter, half too wide.
 */
export const textWidth = (text: string, size: number): number => {
  let ems = 0;
  for (const letter of text) ems += emsOf(letter);
  return ems * size;
};

const emsOf = (letter: string): number => {
  if (narrow.test(letter)) return 0.32;
  if (wide.test(letter)) return 0.88;
  return capital.test(letter) ? 0.62 : 0.56;
};
