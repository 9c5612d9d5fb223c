import type { Sheet, Sheets } from './sheets.ts';

/** Tests of a mate that a share is taken from, at least. */
const fewestOfMate = 10;

/** A custom holds for so many of the sheets at least. */
const custom = 0.8;

export type Strays = { places: number[]; among: number };

/**
 * The marked ones of a row in order of time that neither one way of working nor one change of it explains: a scale or a
 * custom of one's own marks all, a new scale all from one day on or until then. The row is cut into a plain and a marked part,
 * in either order, with the fewest misfits, the marked part nearly all marked; strays are the marked ones of the plain part, `among`
 * so many.
 */
export const strays = (isMarked: readonly boolean[]): Strays => {
  const n = isMarked.length;
  const marked = isMarked.filter(Boolean).length;
  let best = { misfits: marked, from: 0, to: n };
  const tryPart = (from: number, to: number, inPlain: number): void => {
    const [others, inOthers] = [n - (to - from), marked - inPlain];
    const misfits = inPlain + others - inOthers;
    if (misfits < best.misfits && inOthers >= custom * others) best = { misfits, from, to };
  };
  let early = 0;
  for (let cut = 0; cut <= n; cut++) {
    tryPart(0, cut, early);
    tryPart(cut, n, marked - early);
    if (isMarked[cut] === true) early++;
  }
  const places = [...isMarked.keys()].filter((k) => isMarked[k] === true && k >= best.from && k < best.to);
  return { places, among: best.to - best.from };
};

/**
 * Share of such sheets that is the custom of a room: the lower median over the mates in the same store, so that neither a mate who
 * writes sheets nor every second one sets it; of several stores the largest. NaN without mates. `isMarked`: by place of a sheet, undefined
 * where it cannot be told. `mates`: how many, of all stores. By code of the cutter.
 */
export const roomShares = (
  { sheets, ofCutter }: Sheets,
  isMarked: readonly (boolean | undefined)[],
): { share: number; mates: number }[] => {
  const rooms = new Map<number, Map<number, { n: number; marked: number }>>();
  for (const [place, { store, cutter }] of sheets.entries()) {
    if (isMarked[place] === undefined) continue;
    const room = rooms.get(store) ?? new Map<number, { n: number; marked: number }>();
    const own = room.get(cutter) ?? { n: 0, marked: 0 };
    room.set(cutter, { n: own.n + 1, marked: own.marked + (isMarked[place] ? 1 : 0) });
    rooms.set(store, room);
  }
  return ofCutter.map((own, cutter) => {
    const ofMates = [...new Set(own.map((place) => (sheets[place] as Sheet).store))]
      .map((store) =>
        [...(rooms.get(store) ?? [])]
          .filter(([other, { n }]) => other !== cutter && n >= fewestOfMate)
          .map(([, { n, marked }]) => marked / n)
          .sort((a, b) => a - b),
      )
      .filter((shares) => shares.length > 0);
    const medians = ofMates.map((shares) => shares[Math.floor((shares.length - 1) / 2)] as number);
    return {
      share: medians.length === 0 ? Number.NaN : Math.max(...medians),
      mates: ofMates.flat().length,
    };
  });
};
