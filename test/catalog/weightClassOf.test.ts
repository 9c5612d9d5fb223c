import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { weightClassOf } from '../../src/catalog/weightClassOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';

const chain = readChain('sample-data', diskFileSystem);
const classOf = (item: string, weight: number, spec = ''): string =>
  weightClassOf(chain, { item, spec }, weight);

describe('weightClassOf', () => {
  it('takes the lower bound in and the upper out, and the last range open', () => {
    expect(
      ['112A', '112A', '112A', '112A'].map((item, i) => classOf(item, [11, 12.99, 13, 40][i] as number)),
    ).toEqual(['11-13', '11-13', '13-15', '15-up']);
    expect(classOf('112A', 13 - 1e-12)).toBe('13-15');
  });

  it('gives none below the first range, for an unknown item and for an unknown weight', () => {
    expect([classOf('112A', 10.9), classOf('999', 12), classOf('112A', Number.NaN)]).toEqual(['', '', '']);
  });

  it('holds check 10 of the domain facts: 109E in A 11-13, B 13-16, C 16-19, D 19-up (weight-range table, secondary copy)', () => {
    const ribs = {
      ...chain,
      items: [
        {
          ...(chain.items[0] as (typeof chain.items)[number]),
          item: '109E',
          weight_classes: [
            { name: 'A', from: 11, to: 13 },
            { name: 'B', from: 13, to: 16 },
            { name: 'C', from: 16, to: 19 },
            { name: 'D', from: 19, to: Number.POSITIVE_INFINITY },
          ],
        },
      ],
    };
    const found = [10.9, 11, 12.99, 13, 16, 19, 24, 19.5].map((weight) =>
      weightClassOf(ribs, { item: '109E', spec: '' }, weight),
    );
    expect(found).toEqual(['', 'A', 'A', 'B', 'C', 'D', 'D', 'D']);
  });

  it("uses the ranges of the test's own spec, else the first of the item", () => {
    const twice = {
      ...chain,
      items: chain.items.map((entry) =>
        entry.spec === '1x1' ? { ...entry, weight_classes: [{ name: 'any', from: 0, to: 99 }] } : entry,
      ),
    };
    expect(weightClassOf(twice, { item: '180', spec: '1x1' }, 12.5)).toBe('any');
    expect(weightClassOf(twice, { item: '180', spec: '0x1' }, 12.5)).toBe('12-14');
    expect(weightClassOf(twice, { item: '180', spec: 'other' }, 12.5)).toBe('12-14');
  });
});
