import { describe, expect, it } from 'vitest';
import { beyondChance, differenceOf } from '../../../src/publish/pages/beyondChance.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { changeText, trendText } from '../../../src/publish/pages/trendText.ts';
import type { TrendView } from '../../../src/publish/pages/trendView.ts';

const mean = (value: number, reach = 1.96) => ({ value, low: value - reach, high: value + reach });
const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });

describe('what of several means lies off 0 by more than chance', () => {
  it('is one alone outside its own interval, and of many only what lies farther', () => {
    expect(beyondChance([mean(2)])).toHaveLength(1);
    expect(beyondChance([mean(1.9)])).toHaveLength(0);
    const five = (value: number) => beyondChance([mean(value), mean(0), mean(0), mean(0), mean(0)]);
    // the normal's 99 % point of two sides is 2.576
    expect(five(2.57)).toHaveLength(0);
    expect(five(-2.58)).toHaveLength(1);
  });
  it('leaves out what has no interval', () => {
    expect(beyondChance([mean(2), mean(Number.NaN)])).toHaveLength(1);
  });
  it('takes the errors of two means together', () => {
    const { value, low, high } = differenceOf(mean(5, 3), mean(2, 4));
    expect([value, low, high]).toEqual([3, -2, 8]);
  });
});

describe('what the director takes away of the last weeks and months', () => {
  const pair = (label: string, before: number, after: number, reach: number): TrendView['change'] => [
    { label, when: 'before', ...mean(before, reach) },
    { label, when: 'after', ...mean(after, reach) },
  ];
  const view = (change: TrendView['change'], lines: TrendView['lines'] = []) =>
    ({ change, lines }) as unknown as TrendView;
  it('is that nothing is known to have moved, or what moved and which way', () => {
    expect(
      changeText(view([...pair('All stores', -0.1, 0, 0.2), ...pair('Uplands', 0, 0.3, 0.3)]), write),
    ).toBe('Nothing below moved by more than chance against the four weeks before.');
    expect(
      changeText(view([...pair('All stores', 0, 0, 0.2), ...pair('Uplands', 0.4, -0.6, 0.3)]), write),
    ).toBe('Moved by more than chance against the four weeks before: Uplands down by 1.0 points.');
    expect(changeText(view([]), write)).toBe('');
  });
  it('is which months lie off what was expected', () => {
    const line = (value: number): TrendView['lines'] => [
      {
        label: 'Lakes',
        tests: 90,
        rows: [
          { x: '2026-10', ...mean(0, 0.2) },
          { x: '2026-11', ...mean(value, 0.2) },
        ],
      },
    ];
    expect(trendText(view([], line(0.21)), write)).toBe(
      'No month below lies off what was expected by more than chance.',
    );
    expect(trendText(view([], line(-0.5)), write)).toBe(
      'Off what was expected by more than chance: Lakes in Nov 2026 (\u22120.5) points.',
    );
    expect(trendText(view([]), write)).toBe('');
  });
});
