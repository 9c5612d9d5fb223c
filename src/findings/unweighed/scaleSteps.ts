import type { Sheets } from './sheets.ts';

/** Steps a scale or a sheet may have, in the sender's unit, largest first; sixteenths for pounds and ounces. */
const steps = [
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

/** Scale division of each store in the sender's unit, read off its lines; NaN for none or too few lines. By code of the store. */
export const scaleSteps = ({ sheets, stores }: Sheets): number[] => {
  const linesOf: number[][] = stores.map(() => []);
  for (const { store, lines } of sheets) for (const line of lines) (linesOf[store] as number[]).push(line);
  return linesOf.map(stepOf);
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
