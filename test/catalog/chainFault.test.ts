import { describe, expect, it } from 'vitest';
import type { Chain } from '../../src/catalog/chain.ts';
import { chainFault } from '../../src/catalog/chainFault.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { keysOf } from '../../src/normalize/keyOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';

const chain = readChain('sample-data', diskFileSystem);
const graded = (...grades: [grade: string, scale: string, ...aliases: string[]][]): Chain => ({
  ...chain,
  grades: grades.map(([grade, scale, ...aliases]) => ({ grade, scale, aliases, rank: 1 })),
});
const says = (own: Chain): string => chainFault(own)?.says ?? '';

describe('grade scales', () => {
  // domain facts section 3 (comparison of grading systems, secondary copies): only marbling is comparable
  it('refuse one name for Canada Prime and USDA Prime, as key or as spelling', () => {
    expect(says(graded(['Prime', 'USDA'], ['Prime', 'Canada']))).toMatch(
      /^"prime" names both Prime \(USDA\) and Prime \(Canada\); a grade is never mapped/,
    );
    expect(says(graded(['USDA Prime', 'USDA', 'PR'], ['Canada Prime', 'Canada', 'pr ']))).toMatch(
      /^"pr" names both/,
    );
  });

  it('keep both where each has its own name, and map a spelling only by the chain`s or the sender`s own table', () => {
    const both = graded(
      ['USDA Prime', 'USDA', 'PRM'],
      ['Canada Prime', 'Canada', 'Prime CA'],
      ['Canada AAA', 'Canada', 'AAA', 'triple a'],
      ['No roll', 'company', 'NR', 'ungraded'],
    );
    expect(says(both)).toBe('');
    const sender = {
      codes: { item: {}, grade: { '1': 'Canada Prime' }, output: {} },
    } as unknown as Parameters<typeof keysOf>[1];
    const { grade } = keysOf(both, sender);
    expect(['PRM', 'prime ca', 'Triple  A', '1', 'NR'].map(grade.find)).toEqual([
      'USDA Prime',
      'Canada Prime',
      'Canada AAA',
      'Canada Prime',
      'No roll',
    ]);
    // never guessed: not Choice for AAA, not Prime without a country, not a house grade
    expect(['Prime', 'Choice', 'top choice', 'CH'].map(grade.find)).toEqual(['', '', '', '']);
  });
});

describe('a chain file that contradicts itself', () => {
  it('is told which name, range or output', () => {
    const [first, ...others] = chain.items as [Chain['items'][number], ...Chain['items']];
    const ranged = (from: number, to: number): Chain => ({
      ...chain,
      items: [
        {
          ...first,
          weight_classes: [
            { name: 'a', from: 8, to: 10 },
            { name: 'b', from, to },
          ],
        },
        ...others,
      ],
    });
    expect(says(ranged(9.5, 12))).toBe(`ranges a and b of ${first.item} overlap`);
    expect(says(ranged(12, 11))).toBe(`range b of ${first.item} ends before it begins`);
    expect(says(ranged(10, 12))).toBe('');
    expect(
      says({
        ...chain,
        outputs: [...chain.outputs, { ...(chain.outputs[0] as (typeof chain.outputs)[number]) }],
      }),
    ).toContain('names both');
    const [method] = chain.methods as [Chain['methods'][number]];
    expect(says({ ...chain, methods: [{ ...method, main: ['ghost'] }] })).toBe(
      `${method.method} gives ghost, which is not under outputs`,
    );
    expect(says({ ...chain, methods: [{ ...method, item: 'ghost' }] })).toBe(
      `${method.method} cuts ghost, which is not under items`,
    );
  });

  it('is told of a language or time zone that is none, before a number is written in it', () => {
    expect(says({ ...chain, language: 'en_US' })).toMatch(/^"en_US" is no language/);
    expect(says({ ...chain, language: '<script>alert(1)</script>' })).toMatch(/is no language/);
    expect(says({ ...chain, timezone: 'Chicago' })).toMatch(/^"Chicago" is no time zone/);
    expect(says({ ...chain, language: 'de-CH', timezone: 'Europe/Zurich' })).toBe('');
  });

  it('may hold one item in two specs', () => {
    expect(chain.items.filter((entry) => entry.item === '180')).toHaveLength(2);
    expect(says(chain)).toBe('');
  });
});
