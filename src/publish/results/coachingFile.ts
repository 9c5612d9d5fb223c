import type { CoachingChangeRow } from '../../findings/found.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, date, count, number } = column;

/** coaching-effect.csv: what followed each coaching, and all of a cutter, an item and the chain together. */
export const coachingFile: ResultsFile<CoachingChangeRow> = {
  name: 'coaching-effect',
  description:
    'What followed each coaching (scope event) and all of a cutter, an item and the chain together. Gains above 0 are better.',
  key: ['scope', 'cutter', 'item', 'coached_on', 'habit'],
  columns: [
    text('scope', 'event, cutter, item or chain', (r) => r.scope),
    text('cutter', 'cutter', (r) => r.cutter),
    text('item', 'item; empty = all', (r) => r.item),
    text('habit', 'habit coached on', (r) => r.habit),
    date('coached_on', 'day of the coaching', (r) => r.coachedOn),
    text('by', 'who coached', (r) => r.by),
    text('outcome', 'what the change is told on', (r) => r.outcome),
    count('events', '', 'coachings', (r) => r.events),
    count('tests_before', 'tests', 'tests before', (r) => r.testsBefore),
    count('tests_after', 'tests', 'tests after', (r) => r.testsAfter),
    number('raw_before', 'points', 'level seen before, from expected', (r) => r.rawBefore),
    number(
      'expected_after',
      'points',
      'level to be expected after without any effect: the shrunken level before',
      (r) => r.expectedAfter,
    ),
    number(
      'after',
      'points',
      'level seen after, uncoached cutters of the same months taken out',
      (r) => r.after,
    ),
    number('gain', 'points', 'better by, against what was to be expected', (r) => r.gain),
    number('low', 'points', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'points', 'upper end of its 95 % interval', (r) => r.high),
    number('chance', '', 'chance that the level is better than before', (r) => r.chance),
    text('verdict', 'improved, not-improved or too-early', (r) => r.verdict),
    count(
      'tests_needed',
      'tests',
      'where too early: more tests until a gain of 2 points would be told with 80 % chance, or until more would hardly narrow it',
      (r) => r.testsNeeded,
    ),
    text('habit_now', 'cured, not-cured or unclear, where a habit was named', (r) => r.habitNow),
    count('improved', '', 'coachings told as improved', (r) => r.improved),
  ],
};
