import { beyondChance, differenceOf } from './beyondChance.ts';
import type { Formats } from './formats.ts';
import { groups } from './groups.ts';
import type { TrendView } from './trendView.ts';

const mostNamed = 4;
const named = (texts: readonly string[]): string =>
  `${texts.slice(0, mostNamed).join(', ')}${texts.length > mostNamed ? ` and ${texts.length - mostNamed} more` : ''}`;

/** Whether the last four weeks moved, in one sentence; '' where there is nothing to compare. */
export const changeText = ({ change }: TrendView, write: Formats): string => {
  const moves = groups(change, (row) => row.label).flatMap(([label, own]) => {
    const [before, after] = [
      own.find((row) => row.when === 'before'),
      own.find((row) => row.when === 'after'),
    ];
    return before === undefined || after === undefined ? [] : [{ label, ...differenceOf(after, before) }];
  });
  if (moves.length === 0) return '';
  const moved = beyondChance(moves).map(
    ({ label, value }) => `${label} ${value > 0 ? 'up' : 'down'} by ${write.tenths(Math.abs(value))} points`,
  );
  return moved.length === 0
    ? 'Nothing below moved by more than chance against the four weeks before.'
    : `Moved by more than chance against the four weeks before: ${named(moved)}.`;
};

/** Which months lie off what was to be expected, in one sentence; '' where no month can be told. */
export const trendText = ({ lines }: TrendView, write: Formats): string => {
  const months = lines.flatMap(({ label, rows }) => rows.map((row) => ({ ...row, label })));
  if (months.length === 0) return '';
  const off = beyondChance(months).map(
    ({ label, x, value }) => `${label} in ${write.month(x)} (${write.signed(value)})`,
  );
  return off.length === 0
    ? 'No month below lies off what was expected by more than chance.'
    : `Off what was expected by more than chance: ${named(off)} points.`;
};
