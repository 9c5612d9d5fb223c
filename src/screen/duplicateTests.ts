import type { ScreenFacts } from './screenFacts.ts';

const fewestWeighed = 3;

/**
 * Tests (1 = yes) that repeat every weight of an earlier test of the same cutter and item; the earliest by day, then place in
 * the table, is not among them. A test with fewer than three weighed lines is too plain to call a copy. Nearly equal weights
 * are the review's, which knows how closely two pieces can agree by chance.
 */
export const duplicateTests = (facts: ScreenFacts): Uint8Array => {
  const isDuplicate = new Uint8Array(facts.n);
  const groups = new Map<string, number[]>();
  for (let i = 0; i < facts.n; i++) {
    if (weighedLines(facts, i) < fewestWeighed) continue;
    const key = `${facts.habit.codes[i]} ${facts.store.codes[i]} ${facts.receivedKg[i]}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [i]);
    else group.push(i);
  }
  for (const group of groups.values()) {
    if (group.length === 1) continue;
    group.sort((a, b) => (facts.cutDay[a] as number) - (facts.cutDay[b] as number) || a - b);
    const seen = new Set<string>();
    for (const i of group) {
      const lines = linesText(facts, i);
      if (seen.has(lines)) isDuplicate[i] = 1;
      seen.add(lines);
    }
  }
  return isDuplicate;
};

const weighedLines = (facts: ScreenFacts, i: number): number => {
  let count = 0;
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++)
    if ((facts.lineKg[line] as number) > 0) count += 1;
  return count;
};

const linesText = (facts: ScreenFacts, i: number): string => {
  const lines: string[] = [];
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++)
    lines.push(`${facts.lineOutput.codes[line]} ${facts.lineKg[line]}`);
  return lines.sort().join(';');
};
