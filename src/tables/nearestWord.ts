/** Levenshtein distance of two texts (insert, delete, replace each cost 1). */
const editDistance = (a: string, b: string): number => {
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const replace = (previous[j - 1] as number) + (a[i - 1] === b[j - 1] ? 0 : 1);
      current.push(Math.min((previous[j] as number) + 1, (current[j - 1] as number) + 1, replace));
    }
    previous = current;
  }
  return previous[b.length] as number;
};

/** The known word closest to a mistyped one, at most `most` letters away (a third of its own; case ignored); '' when none is near. */
export const nearestWord = (
  typed: string,
  known: readonly string[],
  most = Math.max(1, Math.floor(typed.length / 3)),
): string => {
  let best = '';
  let closest = most + 1;
  for (const word of [...new Set(known)].sort()) {
    const distance = editDistance(typed.toLowerCase(), word.toLowerCase());
    if (distance < closest) [best, closest] = [word, distance];
  }
  return best;
};
