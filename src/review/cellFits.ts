import { median } from 'simple-statistics';
import { codesOf } from '../tables/columns.ts';
import { nearestInTime } from '../tables/nearestInTime.ts';
import { squaredLength } from './cholesky.ts';
import type { ExpectedShares } from './expectedShares.ts';
import type { LineCell, LineCells } from './lineCells.ts';
import { drainedOf } from './pieceSize.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import { closedTarget, type TScatter, tScatter } from './tScatter.ts';

/** What one cutter's tests of a cell have in common beyond what is expected of them: middle residuals, and their spread. */
export type OwnWay = { tests: number; offset: Float64Array; spread: number };

/**
 * How tests of each cell scatter about what is expected, and per test: squared robust distance (per its widening), log
 * density of its shares, residual shares (flat, as LineCells.kg). NaN where a test cannot be compared.
 */
export type CellFits = {
  scatters: (TScatter | undefined)[];
  residual: Float64Array;
  distance: Float64Array;
  ownWay: (i: number) => OwnWay | undefined;
};

const fewestUsed = 8;
const fewestOwn = 3;
const fewestForSpread = 6;
/**
 * Other own tests nearest in time that show a way of cutting that has ended, or begun: it is not held against the tests of its time.
 * Taken where their middle lies this far, per line, from that of all own tests: chance alone does so once in thousands.
 */
const ownTests = 5;
const leastApart = 2;

export const cellFits = (facts: ReviewFacts, lines: LineCells, expected: ExpectedShares): CellFits => {
  const residual = residualShares(facts, lines, expected);
  const distance = new Float64Array(facts.n).fill(Number.NaN);
  const ways = new Array<OwnWay | undefined>(facts.n).fill(undefined);
  const cutters = codesOf(facts.cutter).codes;
  const scatters = lines.cells.map((cell) => {
    const fit = scatterOf(cell, lines, { residual, widening: expected.widening });
    if (fit === undefined) return undefined;
    fillDistances(cell, lines, { fit, residual, widening: expected.widening, distance });
    const usual = median(cell.used.map((i) => distance[i] as number));
    for (const members of byCutter(cell, cutters, distance)) {
      const whole = ownWay(members, lines, { fit, residual, usual });
      for (const i of members) {
        const others = members.filter((j) => j !== i);
        const near = nearestInTime(others, i, { day: facts.day, most: ownTests });
        const then = others.length > ownTests ? ownWay(near, lines, { fit, residual, usual }) : whole;
        ways[i] = apart(whole, then, fit) > fit.k * leastApart ? then : whole;
      }
    }
    return fit;
  });
  return { scatters, residual, distance, ownWay: (i) => ways[i] };
};

const residualShares = (facts: ReviewFacts, lines: LineCells, { share }: ExpectedShares): Float64Array => {
  const residual = new Float64Array(lines.kg.length);
  for (const cell of lines.cells)
    for (const i of cell.members) {
      const drained = drainedOf(facts, i);
      const from = lines.start[i] as number;
      for (let at = from; at < from + cell.outputs.length; at++)
        residual[at] = drained > 0 ? (lines.kg[at] as number) / drained - (share[at] as number) : Number.NaN;
    }
  return residual;
};

const scatterOf = (
  cell: LineCell,
  lines: LineCells,
  { residual, widening }: { residual: Float64Array; widening: Float64Array },
): TScatter | undefined => {
  const k = cell.outputs.length;
  const seen = cell.used.filter((i) => Number.isFinite(residual[lines.start[i] as number] as number));
  if (seen.length < fewestUsed) return undefined;
  const rows = new Float64Array(seen.length * k);
  for (const [place, i] of seen.entries()) {
    const scale = 1 / Math.sqrt(widening[i] as number);
    for (let j = 0; j < k; j++)
      rows[place * k + j] = scale * (residual[(lines.start[i] as number) + j] as number);
  }
  return tScatter(rows, k, closedTarget(rows, k));
};

/** Writes the squared distances of a cell's members to the night's column (preallocated). */
const fillDistances = (
  cell: LineCell,
  lines: LineCells,
  at: { fit: TScatter; residual: Float64Array; widening: Float64Array; distance: Float64Array },
): void => {
  const k = cell.outputs.length;
  const scratch = new Float64Array(k);
  for (const i of cell.members)
    at.distance[i] =
      squaredLength(at.fit.lower, at.residual, { k, from: lines.start[i] as number, scratch }) /
      (at.widening[i] as number);
};

/** Members with a distance, by cutter, where a cutter has 3 or more. */
const byCutter = (cell: LineCell, cutters: Int32Array, distance: Float64Array): number[][] => {
  const groups = new Map<number, number[]>();
  for (const i of cell.members) {
    if (Number.isNaN(distance[i] as number)) continue;
    const own = groups.get(cutters[i] as number);
    if (own === undefined) groups.set(cutters[i] as number, [i]);
    else own.push(i);
  }
  return [...groups.values()].filter((members) => members.length >= fewestOwn);
};

const leastSpread = 0.3;
const mostSpread = 3;

const ownWay = (
  members: readonly number[],
  lines: LineCells,
  { fit, residual, usual }: { fit: TScatter; residual: Float64Array; usual: number },
): OwnWay => {
  const { k } = fit;
  const offset = Float64Array.from({ length: k }, (_, j) =>
    median(members.map((i) => residual[(lines.start[i] as number) + j] as number)),
  );
  if (members.length < fewestForSpread || !(usual > 0)) return { tests: members.length, offset, spread: 1 };
  const scratch = new Float64Array(k);
  const about = new Float64Array(k);
  const distances = members.map((i) => {
    for (let j = 0; j < k; j++)
      about[j] = (residual[(lines.start[i] as number) + j] as number) - (offset[j] as number);
    return squaredLength(fit.lower, about, { k, from: 0, scratch });
  });
  const spread = Math.min(mostSpread, Math.max(leastSpread, median(distances) / usual));
  return { tests: members.length, offset, spread };
};

/** Squared distance of two ways. */
const apart = (one: OwnWay, other: OwnWay, { lower, k }: TScatter): number =>
  squaredLength(
    lower,
    one.offset.map((value, j) => value - (other.offset[j] as number)),
    { k, from: 0, scratch: new Float64Array(k) },
  );
