/** JSON that is safe inside a script element and as script text: no `<`, `>` or line separators stand as themselves. */
export const scriptJson = (data: unknown): string =>
  JSON.stringify(data).replace(
    /[<>&\u2028\u2029]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
