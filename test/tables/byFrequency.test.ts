import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { byFrequency } from '../../src/tables/byFrequency.ts';

describe('byFrequency', () => {
  it('has the most frequent first and equals in the order of their code units', () => {
    expect(byFrequency([])).toEqual([]);
    expect(byFrequency(['b', 'a', 'c', 'c'])).toEqual(['c', 'a', 'b']);
    expect(byFrequency(['é', 'z', 'Z'])).toEqual(['Z', 'z', 'é']);
  });
  it('does not depend on the order of the texts and holds each once', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('a', 'b', 'c', 'd')), (texts) => {
        expect(byFrequency([...texts].reverse())).toEqual(byFrequency(texts));
        expect(byFrequency(texts).length).toBe(new Set(texts).size);
      }),
    );
  });
});
