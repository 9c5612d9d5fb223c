/** Different texts, the most frequent first, those seen as often in code-unit order. */
export const byFrequency = (texts: readonly string[]): string[] => {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1)).map(([text]) => text);
};
