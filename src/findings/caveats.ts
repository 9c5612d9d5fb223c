import type { MeasuredTest } from '../measure/measured.ts';
import type { FindingRow } from './found.ts';

/** What a reader should know before acting on a finding about a person, in sentences. */
type Caveat = (finding: FindingRow) => string;

/** Findings about people with every caveat that holds for them; what is over needs none. */
export const withCaveats = (findings: readonly FindingRow[], caveats: readonly Caveat[]): FindingRow[] =>
  findings.map((finding) => {
    if (finding.cutter === '' || finding.status === 'resolved') return finding;
    const said = caveats.flatMap((caveat) => caveat(finding) || []).map((text) => ` ${text}`);
    const added = said.join('');
    return { ...finding, says: finding.says + added, headline: finding.headline + added };
  });

/** What is told of sheets that are asked about holds only if their weights are true. */
export const weightsFirst = (asked: readonly FindingRow[]): Caveat => {
  const cutters = new Set(asked.map(({ cutter }) => cutter));
  return ({ cutter }) =>
    cutters.has(cutter)
      ? 'It rests on sheets whose weights are asked about: settle that question first.'
      : '';
};

/** On an item that nobody else cuts in the same store, person and room show the same. */
export const aloneOnItem = (used: readonly MeasuredTest[]): Caveat => {
  const cutters = new Map<string, Set<string>>();
  const stores = new Map<string, Set<string>>();
  const add = (sets: Map<string, Set<string>>, key: string, value: string): void => {
    sets.set(key, (sets.get(key) ?? new Set()).add(value));
  };
  for (const { store, cutter, item } of used) {
    add(cutters, keyOf(store, item), cutter);
    add(stores, keyOf(cutter, item), store);
  }
  const isAlone = (cutter: string, item: string): boolean =>
    [...(stores.get(keyOf(cutter, item)) ?? [])].every(
      (store) => cutters.get(keyOf(store, item))?.size === 1,
    );
  return ({ cutter, item, items }) => {
    const on = items ?? (item === '' ? [] : [item]);
    return on.length > 0 && on.every((one) => isAlone(cutter, one))
      ? 'Nobody else cuts this there, so that person and room cannot be told apart.'
      : '';
  };
};

const keyOf = (a: string, b: string): string => `${a}\u0000${b}`;
