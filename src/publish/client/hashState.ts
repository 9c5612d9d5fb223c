/** State of filters and sorting in the address: `#key=value&key=value`; other hashes (places on the page) are left alone. */
export const hashState = (hash: string): Map<string, string> =>
  new Map(hash.includes('=') ? new URLSearchParams(hash.slice(1)) : []);

/** The hash of a state; empty values are left out. */
export const hashOf = (state: ReadonlyMap<string, string>): string => {
  const kept = [...state].filter(([, value]) => value !== '');
  return kept.length === 0 ? '' : `#${new URLSearchParams(kept)}`;
};
