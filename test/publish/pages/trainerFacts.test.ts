import { describe, expect, it } from 'vitest';
import { formats } from '../../../src/publish/pages/formats.ts';
import { withDays, withLabel } from '../../../src/publish/pages/trainerFacts.ts';

const label = (): string => 'ab12$&cd';

describe('a text with the code in place of the cutter', () => {
  it('replaces the id wherever it stands as a word, and nothing else', () => {
    expect(withLabel('c-04 on 184: c-04 against c-041', 'c-04', label)).toBe(
      'ab12$&cd on 184: ab12$&cd against c-041',
    );
  });
  it('replaces an id of digits at the beginning only, so that figures stay', () => {
    expect(withLabel('4 on 184: main cut 4.1 points over 4 tests', '4', label)).toBe(
      'ab12$&cd on 184: main cut 4.1 points over 4 tests',
    );
  });
  it('takes ids with signs of regular expressions as they are', () => {
    expect(withLabel('a.b on x', 'a.b', label)).toBe('ab12$&cd on x');
    expect(withLabel('axb on x', 'a.b', label)).toBe('axb on x');
  });
  it('leaves texts about nobody alone', () => {
    expect(withLabel('Store s-1', '', label)).toBe('Store s-1');
  });
});

describe('days in a text', () => {
  it('are written as their readers write them, and no id is taken for one', () => {
    const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
    expect(withDays('risen by 2.1 since 2026-03-02; test T-2026-03-02', write)).toBe(
      'risen by 2.1 since Mar 2, 2026; test T-2026-03-02',
    );
  });
});
