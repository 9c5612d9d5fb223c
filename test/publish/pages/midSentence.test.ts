import { expect, it } from 'vitest';
import { midSentence } from '../../../src/publish/pages/midSentence.ts';

it('goes on in small letters, but leaves abbreviations, digits and nothing as they are', () => {
  expect(midSentence('Weigh the tub. Then ask.')).toBe('weigh the tub. Then ask.');
  expect(midSentence('FOB offers first')).toBe('FOB offers first');
  expect(midSentence('A ruler helps')).toBe('A ruler helps');
  expect([midSentence('15-up'), midSentence('')]).toEqual(['15-up', '']);
});
