import { expect, it } from 'vitest';
import { sharedText } from '../../../src/publish/pages/sharedText.ts';

it('is said once only where several rows say the same', () => {
  expect(sharedText(['Dec 21', 'Dec 21'])).toBe('Dec 21');
  expect(sharedText(['Dec 21', 'Dec 22'])).toBe('');
  expect([sharedText(['Dec 21']), sharedText([])]).toEqual(['', '']);
});
