/** Centered log-ratios: log of each part less the mean log (Aitchison 1982 JRSSB 44:139). Adds to 0; parts above 0, any total. */
export const clr = (parts: ArrayLike<number>): Float64Array => {
  const logs = Float64Array.from(parts, Math.log);
  const mean = logs.reduce((sum, own) => sum + own, 0) / logs.length;
  return logs.map((own) => own - mean);
};

/**
 * Isometric log-ratios: coordinate i (from 1) is sqrt(i / (i + 1)) log(geometric mean of parts 1..i / part i + 1) (Egozcue,
 * Pawlowsky-Glahn, Mateu-Figueras & Barcelo-Vidal 2003 Math. Geol. 35:279). D parts give D - 1 numbers; distances between
 * them are those of the compositions.
 */
export const ilr = (parts: ArrayLike<number>): Float64Array => {
  const balances = new Float64Array(Math.max(0, parts.length - 1));
  let sum = 0;
  for (let i = 1; i < parts.length; i++) {
    sum += Math.log(parts[i - 1] as number);
    balances[i - 1] = Math.sqrt(i / (i + 1)) * (sum / i - Math.log(parts[i] as number));
  }
  return balances;
};

/** Parts that add to 1 from their isometric log-ratios: undoes ilr. */
export const ilrInverse = (balances: ArrayLike<number>): Float64Array => {
  const logs = new Float64Array(balances.length + 1);
  for (let i = 1; i <= balances.length; i++) {
    const step = balances[i - 1] as number;
    for (let j = 0; j < i; j++) logs[j] = (logs[j] as number) + step / Math.sqrt(i * (i + 1));
    logs[i] = (logs[i] as number) - step * Math.sqrt(i / (i + 1));
  }
  // the largest log is taken off first, so that no power overflows
  const most = logs.reduce((largest, own) => Math.max(largest, own), Number.NEGATIVE_INFINITY);
  const parts = logs.map((own) => Math.exp(own - most));
  const sum = parts.reduce((total, part) => total + part, 0);
  return parts.map((part) => part / sum);
};

/** Aitchison distance of two compositions: length of the difference of their centered log-ratios. */
export const aitchisonDistance = (one: ArrayLike<number>, other: ArrayLike<number>): number => {
  const [a, b] = [clr(one), clr(other)];
  return Math.sqrt(a.reduce((sum, own, j) => sum + (own - (b[j] as number)) ** 2, 0));
};
