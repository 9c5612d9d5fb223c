import { describe, expect, it } from 'vitest';
import { textWidth } from '../../../src/publish/charts/textWidth.ts';

describe('width of a text', () => {
  it('grows with size, letter by letter, wide letters more than narrow ones', () => {
    expect(textWidth('', 12)).toBe(0);
    expect(textWidth('abc', 24)).toBeCloseTo(2 * textWidth('abc', 12), 9);
    expect(textWidth('ab', 12)).toBeCloseTo(textWidth('a', 12) + textWidth('b', 12), 9);
    expect(textWidth('W', 12)).toBeGreaterThan(textWidth('n', 12));
    expect(textWidth('n', 12)).toBeGreaterThan(textWidth('i', 12));
  });
});
