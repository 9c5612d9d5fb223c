import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type FindingKindName, findingKinds, findingWords, stepOf } from '../../src/faults/findingKinds.ts';

const schema = JSON.parse(readFileSync('schemas/findings.schema.json', 'utf8')) as {
  items: { properties: { kind: { enum: string[] } } };
};
const kinds = Object.keys(findingKinds) as FindingKindName[];
const fact = {
  who: 'c-1',
  item: '180',
  size: '2.0',
  range: '95 % interval 1.0 to 3.0',
  tests: '12 tests',
  against: 'the others',
  money: '$5.00 a week ($2.00 to $8.00)',
  went: 'fat (1.5)',
};
/** Kinds that point at a person. */
const onPeople: FindingKindName[] = [
  'over-trimming',
  'under-trimming',
  'fat-in-trim',
  'missing-product',
  'unweighed-trim',
  'tare-question',
  'portion-drift',
  'weights-not-weighed',
  'drift',
  'improved',
  'not-improved',
];

describe('the catalog of findings', () => {
  it('is what the schema of findings.json names', () => {
    expect([...schema.items.properties.kind.enum].sort()).toEqual([...kinds].sort());
  });
  it('ends every finding on a person as a question, with how many tests', () => {
    for (const kind of onPeople) {
      const text = findingWords(kind, fact).headline;
      expect(text, kind).toMatch(/question, not a verdict[.]$/);
      expect(text, kind).toContain('12 tests');
    }
  });
  it('says what was seen without whom it is about, the money and the verdict that stand beside it', () => {
    expect(findingWords('unweighed-trim', fact)).toEqual({
      about: 'c-1 on 180',
      says: '2.0 points more unaccounted than expected (95 % interval 1.0 to 3.0), missing from fat (1.5) over 12 tests against the others. Is the trim tub not weighed?',
      headline:
        'c-1 on 180: 2.0 points more unaccounted than expected (95 % interval 1.0 to 3.0), missing from fat (1.5) over 12 tests against the others; $5.00 a week ($2.00 to $8.00). Is the trim tub not weighed? A question, not a verdict.',
    });
    for (const kind of kinds) {
      const { about, says, headline } = findingWords(kind, fact);
      expect(headline.startsWith(`${about}: `), kind).toBe(true);
      expect(says, kind).toMatch(/^[A-Z\d].*[.?]$/);
      expect(says, kind).not.toMatch(/\$|verdict|undefined/);
      expect(findingWords(kind, { ...fact, money: '' }).says, kind).toBe(says);
    }
  });
  it('asks of a level that rose what there is to learn, of one that fell what changed', () => {
    expect(stepOf('drift', 'risen')).toMatch(/done differently.*fat cover.*tare/);
    expect(stepOf('drift', 'fallen')).toMatch(/what has changed/);
  });
  it('names no person but for the trainer', () => {
    for (const kind of kinds.filter((one) => findingKinds[one].reader !== 'trainer'))
      expect(onPeople).not.toContain(kind);
  });
  it('points to a step in the words of the trade, by where the weight went', () => {
    for (const kind of kinds) expect(stepOf(kind).length, kind).toBeGreaterThan(20);
    expect(stepOf('over-trimming', 'lean trim')).toMatch(/lip.*tail.*trim tub/);
    expect(stepOf('over-trimming', 'fat')).toMatch(/cap seam.*silverskin/);
  });
});
