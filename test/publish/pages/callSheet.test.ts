import { describe, expect, it } from 'vitest';
import type { Action } from '../../../src/publish/pages/actions.tsx';
import { onePage } from '../../../src/publish/pages/callSheet.tsx';

const action = (what: string, worth = ''): Action => ({
  what,
  why: '',
  next: '',
  worth,
  worthNote: '',
  links: [],
});
const priced = (count: number) => Array.from({ length: count }, (_, i) => action(`habit ${i}`, `$${90 - i}`));
const others = (count: number) => Array.from({ length: count }, (_, i) => action(`ask ${i}`));
const said = (actions: readonly Action[]) => onePage(actions).map(({ what }) => what);

describe('what one page of the weekly call holds', () => {
  it('is all actions up to six', () => {
    expect(said([...priced(3), ...others(3)])).toHaveLength(6);
  });
  it('gives up the cheapest habits first, and never more than it must', () => {
    expect(said([...others(1), ...priced(3), ...others(4)])).toEqual(
      ['ask 0', 'ask 0', 'ask 1', 'ask 2', 'ask 3'].toSpliced(1, 0, 'habit 0'),
    );
    expect(said([...priced(3), ...others(5)])).toEqual([
      'habit 0',
      'ask 0',
      'ask 1',
      'ask 2',
      'ask 3',
      'ask 4',
    ]);
    expect(said(others(8))).toHaveLength(6);
  });
});
