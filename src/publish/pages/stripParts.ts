import { type ClassOutcome, classOutcomes, classWords, classYields } from '../../catalog/outcomes.ts';
import type { StripPart } from '../charts/compositionStrip.ts';
import type { Formats } from './formats.ts';
import type { FullTest } from './trainerFacts.ts';

const writtenFrom = 7;

/**
 * A test's composition beside what was expected: two strips in per cent of drained weight. A negative share takes no room
 * but is written in the table. Classes absent from both strips are left out. Empty without a test or its expectation.
 */
export const stripParts = (test: FullTest | undefined, write: Formats): StripPart[] => {
  if (test === undefined || !Number.isFinite(test.model.expected_main_cut)) return [];
  const shares = (of: (outcome: ClassOutcome) => number): number[] =>
    classOutcomes.map((outcome) => of(outcome) * 100);
  const expected = shares((outcome) => test.model[`expected_${outcome}`]);
  const actual = shares((outcome) => test[classYields[outcome]]);
  const isShown = classOutcomes.map(
    (_, i) => Math.abs(expected[i] as number) > 0.05 || Math.abs(actual[i] as number) > 0.05,
  );
  return [
    ...stripOf('this test', actual, { isShown, write }),
    ...stripOf('expected', expected, { isShown, write }),
  ];
};

const stripOf = (
  strip: string,
  shares: readonly number[],
  { isShown, write }: { isShown: readonly boolean[]; write: Formats },
): StripPart[] => {
  let start = 0;
  return classOutcomes.flatMap((outcome, i) => {
    if (isShown[i] === false) return [];
    const share = Number.isFinite(shares[i]) ? (shares[i] as number) : 0;
    const from = start;
    start += Math.max(0, share);
    return [
      {
        strip,
        part: classWords[outcome],
        start: from,
        end: start,
        middle: (from + start) / 2,
        share: share >= writtenFrom ? write.tenths(share) : '',
        value: share,
        shade: i,
      },
    ];
  });
};
