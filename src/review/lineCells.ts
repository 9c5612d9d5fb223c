import type { ReviewFacts } from './reviewFacts.ts';

/** Tests of one item, spec, treatment and method with the same lines weighed: what is compared with what. */
export type LineCell = {
  /** Output code and class place of each line, in the order of output codes. */
  outputs: Int32Array;
  classes: Int32Array;
  members: number[];
  /** Members that are used. */
  used: number[];
};

/**
 * Cells, and per test its cell (-1 = its lines cannot be compared) and the place of its first line in flat columns: line j
 * of test i is kg[start[i] + j]. A line that the test does not have is 0 kg there.
 */
export type LineCells = { cells: LineCell[]; cellOf: Int32Array; start: Int32Array; kg: Float64Array };

const fewestUsed = 20;
const leastShare = 0.02;

type Pattern = { outputs: number[]; used: number };

/**
 * Groups tests by kind and by which lines they weigh. A set of lines is a way of testing of its own when at least 20 used
 * tests and 2 % of the kind have it; a rarer one is compared with the commonest set that holds all of its lines, the others
 * taken as left out. Tests with a blank line are not compared.
 */
export const lineCells = (facts: ReviewFacts): LineCells => {
  const own = Array.from({ length: facts.n }, (_, i) => linesWeighed(facts, i));
  const patterns = patternsByKind(facts, own);
  const cells: LineCell[] = [];
  const cellByKey = new Map<string, number>();
  const cellOf = new Int32Array(facts.n).fill(-1);
  const start = new Int32Array(facts.n);
  let length = 0;
  for (let i = 0; i < facts.n; i++) {
    const outputs = own[i];
    if (outputs === undefined) continue;
    const kind = facts.kind.codes[i] as number;
    const pattern = patterns[kind]?.find((candidate) => holds(candidate.outputs, outputs));
    if (pattern === undefined) continue;
    const key = `${kind} ${pattern.outputs.join(' ')}`;
    const code = cellByKey.get(key) ?? cells.length;
    if (code === cells.length) {
      cellByKey.set(key, code);
      cells.push({
        outputs: Int32Array.from(pattern.outputs),
        classes: new Int32Array(pattern.outputs.length).fill(-1),
        members: [],
        used: [],
      });
    }
    const cell = cells[code] as LineCell;
    cell.members.push(i);
    if (facts.state[i] === 'used') cell.used.push(i);
    cellOf[i] = code;
    start[i] = length;
    length += pattern.outputs.length;
  }
  return { cells, cellOf, start, kg: filled(facts, { cells, cellOf, start, length }) };
};

/** Sorted codes of the outputs with weight; undefined when a line is blank or none has weight. */
const linesWeighed = (facts: ReviewFacts, i: number): number[] | undefined => {
  const found: number[] = [];
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++) {
    const kg = facts.lineKg[line] as number;
    if (Number.isNaN(kg)) return undefined;
    const output = facts.lineOutput[line] as number;
    if (kg > 0 && !found.includes(output)) found.push(output);
  }
  return found.length === 0 ? undefined : found.sort((a, b) => a - b);
};

const holds = (all: readonly number[], some: readonly number[]): boolean =>
  some.every((output) => all.includes(output));

/** Sets of lines that stand by themselves, by kind: an exact match is found first as smaller sets come first. */
const patternsByKind = (facts: ReviewFacts, own: readonly (number[] | undefined)[]): Pattern[][] => {
  const counts = facts.kind.levels.map(() => new Map<string, Pattern>());
  const totals = new Int32Array(facts.kind.levels.length);
  for (const [i, outputs] of own.entries()) {
    if (outputs === undefined || facts.state[i] !== 'used') continue;
    const kind = facts.kind.codes[i] as number;
    totals[kind] = (totals[kind] as number) + 1;
    const key = outputs.join(' ');
    const pattern = counts[kind]?.get(key);
    if (pattern === undefined) counts[kind]?.set(key, { outputs, used: 1 });
    else pattern.used += 1;
  }
  return counts.map((patterns, kind) =>
    [...patterns.values()]
      .filter(({ used }) => used >= Math.max(fewestUsed, leastShare * (totals[kind] as number)))
      .sort((a, b) => a.outputs.length - b.outputs.length || b.used - a.used),
  );
};

const filled = (
  facts: ReviewFacts,
  {
    cells,
    cellOf,
    start,
    length,
  }: { cells: LineCell[]; cellOf: Int32Array; start: Int32Array; length: number },
): Float64Array => {
  const kg = new Float64Array(length);
  for (let i = 0; i < facts.n; i++) {
    const cell = cells[cellOf[i] as number];
    if (cell === undefined) continue;
    for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++) {
      const place = cell.outputs.indexOf(facts.lineOutput[line] as number);
      if (place < 0) continue;
      cell.classes[place] = facts.lineClass[line] as number;
      kg[(start[i] as number) + place] =
        (kg[(start[i] as number) + place] as number) + (facts.lineKg[line] as number);
    }
  }
  return kg;
};
