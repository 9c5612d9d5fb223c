/** Order of two texts by code unit: the same on every machine, whatever its locale. */
export const byCodeUnit = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
