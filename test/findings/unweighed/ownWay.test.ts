import { describe, expect, it } from 'vitest';
import { roomShares, strays } from '../../../src/findings/unweighed/ownWay.ts';
import type { Sheet, Sheets } from '../../../src/findings/unweighed/sheets.ts';

const row = (text: string): boolean[] => [...text].map((sign) => sign === 'x');

describe('strays', () => {
  it.each([
    ['', [], 0],
    ['....', [], 4],
    ['xxxx', [], 0],
    ['....xxxx', [], 4],
    ['xxx.....', [], 5],
    // scattered ones are all strays
    ['x..x..x..x..', [0, 3, 6, 9].slice(1), 11],
    ['..x..x..xxxx', [2, 5], 8],
    // who mostly marks and once does not has one exception, no stray
    ['xxxx.xxx', [], 0],
    // half and half is no custom
    ['x.x.x.x.x.', [2, 4, 6, 8], 9],
  ])('of "%s" are at %j', (text, places, among) => {
    expect(strays(row(text))).toEqual({ places, among });
  });
});

describe('roomShares', () => {
  /** One store; sheets of each cutter as a text, `x` marked, `?` unknown. */
  const room = (texts: readonly string[]) => {
    const sheets = texts.flatMap((text, cutter) => [...text].map(() => ({ store: 0, cutter }) as Sheet));
    const signs = texts.join('');
    const ofCutter = texts.map((_, cutter) =>
      [...sheets.keys()].filter((place) => (sheets[place] as Sheet).cutter === cutter),
    );
    return roomShares(
      { sheets, ofCutter } as Sheets,
      [...signs].map((sign) => (sign === '?' ? undefined : sign === 'x')),
    ).map(({ share }) => share);
  };
  const [none, third, all] = ['..........', 'xx.x.....x', 'xxxxxxxxxx'] as const;

  it('are the custom of the mates, which one of two or two of four do not set', () => {
    expect(room([none, third, none])).toEqual([0, 0, 0]);
    expect(room([none, third, third, none, none])).toEqual([0, 0, 0, 0, 0]);
    expect(room([all, all, third])).toEqual([0.4, 0.4, 1]);
  });

  it('are unknown to one without mates, or with mates of too few sheets', () => {
    expect(room([third])).toEqual([Number.NaN]);
    expect(room([third, 'xxx', 'x?????????'])).toEqual([Number.NaN, 0.4, 0.4]);
  });
});
