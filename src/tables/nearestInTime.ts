/** The `most` members nearest to i by day, itself first where it is one; in the order given where days are equal. */
export const nearestInTime = (
  members: readonly number[],
  i: number,
  { day, most }: { day: ArrayLike<number>; most: number },
): number[] => {
  if (members.length <= most) return [...members];
  const off = (j: number): number => (j === i ? -1 : Math.abs((day[j] as number) - (day[i] as number)));
  return [...members].sort((a, b) => off(a) - off(b)).slice(0, most);
};
