import { describe, expect, it } from 'vitest';
import { counted, countedTests } from '../../src/units/counted.ts';

describe('numbers of things in words', () => {
  it('writes one as one and all else as many', () => {
    expect([0, 1, 2].map((count) => countedTests(count))).toEqual(['0 tests', '1 test', '2 tests']);
    expect(counted(1200, 'row', (count) => count.toLocaleString('en-US'))).toBe('1,200 rows');
  });
});
