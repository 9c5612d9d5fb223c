import type { MeasuredTest } from '../measure/measured.ts';
import { countedTests } from '../units/counted.ts';

const fewestOwn = 4;
const fewestOthers = 8;
/** z of a clear difference, one-sided 95 %. */
const clear = 1.645;
/** A cover surely not this much thicker, inches, is like the others': our choice; common practice, no source. */
const thicker = 1 / 16;

/**
 * What the fat cover measured after cutting says of a cutter beside the others of the item, in words: clearly thicker, or surely
 * not by a sixteenth of an inch; '' where too few tests hold it or neither is sure. `measured`: the tests of the item with a fat cover, inches.
 */
export const fatCoverText = (cutter: string, measured: readonly MeasuredTest[], language: string): string => {
  const own = spread(measured.filter((test) => test.cutter === cutter));
  const others = spread(measured.filter((test) => test.cutter !== cutter));
  if (own.n < fewestOwn || others.n < fewestOthers) return '';
  const sd = Math.sqrt(own.variance / own.n + others.variance / others.n);
  const gap = own.mean - others.mean;
  const isThicker = gap > clear * sd;
  if (!isThicker && !(gap + clear * sd < thicker)) return '';
  const number = new Intl.NumberFormat(language, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
  const measuredAt = `fat cover measured at ${number.format(own.mean)} in over ${countedTests(own.n)}, ${number.format(others.mean)} in by the others`;
  return isThicker ? measuredAt : `${measuredAt}, so that it is not left on there`;
};

const spread = (tests: readonly MeasuredTest[]): { n: number; mean: number; variance: number } => {
  const n = tests.length;
  const mean = tests.reduce((sum, test) => sum + test.fatCoverIn, 0) / n;
  const squares = tests.reduce((sum, test) => sum + (test.fatCoverIn - mean) ** 2, 0);
  return { n, mean, variance: n > 1 ? squares / (n - 1) : Number.NaN };
};
