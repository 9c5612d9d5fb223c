import { expect, it } from 'vitest';
import { midSentence, sentenceStart } from '../../../src/publish/pages/midSentence.ts';

it('goes on in small letters, but leaves abbreviations, digits and nothing as they are', () => {
  expect(midSentence('Weigh the tub. Then ask.')).toBe('weigh the tub. Then ask.');
  expect(midSentence('FOB offers first')).toBe('FOB offers first');
  expect(midSentence('A ruler helps')).toBe('A ruler helps');
  expect([midSentence('15-up'), midSentence('')]).toEqual(['15-up', '']);
});

it('begins a sentence large, but leaves keys, codes and names as they are', () => {
  expect(sentenceStart('cutter 2f823a54 on ribeye')).toBe('Cutter 2f823a54 on ribeye');
  expect(sentenceStart('rib, ribeye roll (112A): at 9')).toBe('Rib, ribeye roll (112A): at 9');
  for (const text of ['de25e066, 32 tests', 'c-0485 on 180', 'Mill Street on 180', '112A', ''])
    expect(sentenceStart(text)).toBe(text);
});
