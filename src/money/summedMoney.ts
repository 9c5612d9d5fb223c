/**
 * How far one source may be off, in money below and above the amount: a person, a room, or what is one item's own. Its
 * errors go together.
 */
export type SourceError = { source: number | string; below: number; above: number };

/**
 * Amounts added up with their 95 % interval; the errors returned are one a source. What one person (or room) costs is
 * estimated from the same hands on every item, so half widths of one source are added; those of different sources,
 * estimated apart, in quadrature.
 */
export const summedMoney = (
  amounts: readonly { value: number; errors: readonly SourceError[] }[],
): { value: number; low: number; high: number; errors: SourceError[] } => {
  const sums = new Map<SourceError['source'], SourceError>();
  let value = 0;
  for (const amount of amounts) {
    value += amount.value;
    for (const { source, below, above } of amount.errors) {
      const known = sums.get(source);
      sums.set(source, { source, below: below + (known?.below ?? 0), above: above + (known?.above ?? 0) });
    }
  }
  const errors = [...sums.values()];
  const [below, above] = errors.reduce(([b, a], own) => [b + own.below ** 2, a + own.above ** 2], [0, 0]);
  return { value, low: value - Math.sqrt(below), high: value + Math.sqrt(above), errors };
};
