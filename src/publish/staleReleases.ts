import { dayFromIso } from '../units/calendarDay.ts';

/** Releases kept: those of `beforeDay` and later (-Infinity = all), and at most `most` of them (0 = all). */
export type ReleasesKept = { beforeDay: number; most: number };

/**
 * Of the names below releases/ those to remove: left half-built by a run that was cut off, of a day no longer kept, or more
 * than are kept, the latest day first. The one in force (`current`) is always kept and counts.
 */
export const staleReleases = (
  names: readonly string[],
  current: string,
  { beforeDay, most }: ReleasesKept,
): string[] => {
  const isHalf = (name: string): boolean => name.endsWith('.building');
  const others = names.filter((name) => name !== current && !isHalf(name)).sort();
  const young = others.filter((name) => !(dayFromIso(name.slice(0, 10)) < beforeDay));
  const kept = new Set(most > 0 ? young.slice(Math.max(0, young.length - (most - 1))) : young);
  return names.filter((name) => name !== current && !kept.has(name));
};
