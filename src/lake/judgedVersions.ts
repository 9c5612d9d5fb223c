import { byCodeUnit } from '../tables/byCodeUnit.ts';

/** The version in force of one test, or those that conflict for it; `same` say what the winner says, `older` say otherwise. */
export type Judged<Version> = {
  winner: Version | undefined;
  conflicts: Version[];
  same: Version[];
  older: Version[];
};
type Rules<Version> = {
  /** Negative when `a` is later, 0 when neither is. */
  compare: (a: Version, b: Version) => number;
  contentOf: (version: Version) => string;
  /** Settles the order of versions that are equally late. */
  placeOf: (version: Version) => string;
};

/**
 * Versions that say the same are one: the first seen of them stays. Of different ones the later wins whole; where equally
 * late ones differ, none is in force.
 */
export const judgedVersions = <Version>(
  candidates: readonly Version[],
  { compare, contentOf, placeOf }: Rules<Version>,
): Judged<Version> => {
  if (candidates.length === 1) return { winner: candidates[0], conflicts: [], same: [], older: [] };
  const ordered = [...candidates].sort((a, b) => compare(a, b) || byCodeUnit(placeOf(a), placeOf(b)));
  const best = ordered[0] as Version;
  const latest = ordered.filter((version) => compare(best, version) === 0);
  if (latest.some((version) => contentOf(version) !== contentOf(best)))
    return { winner: undefined, conflicts: latest, same: [], older: ordered.slice(latest.length) };
  const agreeing = ordered.filter((version) => contentOf(version) === contentOf(best));
  const oldest = agreeing.filter((version) => compare(version, agreeing.at(-1) as Version) === 0);
  const winner = oldest[0] as Version;
  return {
    winner,
    conflicts: [],
    same: agreeing.filter((version) => version !== winner),
    older: ordered.filter((version) => !agreeing.includes(version)),
  };
};
