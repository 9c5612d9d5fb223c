import { kilogramsPer } from '../../units/weight.ts';
import type { Sheets } from './sheets.ts';

/** Steps a scale or a sheet may have, in the sender's unit, largest first; sixteenths for pounds and ounces. */
const steps = [
  50,
  20,
  10,
  5,
  2,
  1,
  0.5,
  0.25,
  0.2,
  0.1,
  1 / 16,
  0.05,
  0.02,
  0.01,
  1 / 160,
  0.005,
  0.002,
  0.001,
  1 / 1600,
  0.0001,
];
const mostOffStep = 0.02;
const fewestLines = 40;
/** Scales for cuts of meat show 0.1 lb or finer, in metric 0.05 kg: twice that is nobody's division, kg. */
export const coarserThanScales = 0.09;

/**
 * Scale division of each store in the sender's unit: that of the reference table (`given`, kg by store), or that of which the lines
 * of most of its cutters are multiples where it is coarser or none is given; the finer of two. Those who write sheets neither set
 * the step of a room nor spoil it. NaN for none or too few lines. By code of the store.
 */
export const scaleSteps = (
  { sheets, stores, units }: Sheets,
  given: ReadonlyMap<string, number>,
): number[] => {
  const linesOf = stores.map(() => new Map<number, number[]>());
  for (const { store, cutter, lines } of sheets) {
    const own = linesOf[store] as Map<number, number[]>;
    own.set(cutter, [...(own.get(cutter) ?? []), ...lines]);
  }
  return linesOf.map((byCutter, store) => {
    const read = readStep([...byCutter.values()]);
    const givenKg = given.get(stores[store] as string) ?? 0;
    const told = Number((givenKg / kilogramsPer(units[store] as string)).toPrecision(6));
    if (!(told > 0)) return read;
    const isOwnScale = byCutter.size > 1 || read * kilogramsPer(units[store] as string) < coarserThanScales;
    return Math.max(told, isOwnScale && !Number.isNaN(read) ? read : 0);
  });
};

const readStep = (byCutter: readonly number[][]): number => {
  const read = byCutter.filter((lines) => lines.length >= fewestLines).map(stepOf);
  if (read.length === 0) return stepOf(byCutter.flat());
  const known = read.filter((step) => !Number.isNaN(step)).sort((a, b) => a - b);
  return known[Math.floor((known.length - 1) / 2)] ?? Number.NaN;
};

/** The largest step of which nearly all lines are multiples. */
const stepOf = (lines: readonly number[]): number => {
  if (lines.length < fewestLines) return Number.NaN;
  const isOff = (line: number, step: number): boolean =>
    Math.abs(line / step - Math.round(line / step)) > 1e-4;
  return (
    steps.find((step) => lines.filter((line) => isOff(line, step)).length <= mostOffStep * lines.length) ??
    Number.NaN
  );
};
