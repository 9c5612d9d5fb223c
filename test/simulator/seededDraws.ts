/** Random draws that are the same for the same seed and stream on every machine. */
export type Draws = {
  /** In (0, 1). */
  uniform: () => number;
  between: (low: number, high: number) => number;
  normal: () => number;
  /** t with 5 df, scaled to SD 1. */
  heavy: () => number;
  chance: (share: number) => boolean;
  pick: <Item>(list: readonly Item[]) => Item;
};

/** Draws of one seed; another `stream` of the same seed is independent. Generator: mulberry32 (public domain, from memory). */
export const seededDraws = (seed: number, stream: number): Draws => {
  let state = (Math.imul(seed, 0x9e3779b1) ^ Math.imul(stream + 1, 0x85ebca6b)) >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  // Box & Muller (1958), the cosine half
  const normal = (): number => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  return {
    uniform,
    between: (low, high) => low + (high - low) * uniform(),
    normal,
    heavy: () => {
      let chi = 0;
      for (let k = 0; k < 5; k++) chi += normal() ** 2;
      // variance of t with 5 df is 5/3
      return normal() / Math.sqrt(chi / 5) / Math.sqrt(5 / 3);
    },
    chance: (share) => uniform() < share,
    pick: (list) => {
      if (list.length === 0) throw new Error('pick: nothing to pick from');
      return list[Math.floor(uniform() * list.length)] as (typeof list)[number];
    },
  };
};
