import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { weightClassOf } from '../../src/catalog/weightClassOf.ts';
import { OperatorError } from '../../src/faults/operatorError.ts';
import { diskFileSystem, type FileSystem } from '../../src/system/fileSystem.ts';

const good = `name: Northgate
currency: USD
unit: lb
timezone: America/Chicago
items:
  - item: 112A
    weight_classes: [{ name: 13-up, from: 13 }]
`;
const chainOf = (text: string) => {
  const fs: FileSystem = {
    ...diskFileSystem,
    exists: (path) => path.endsWith('chain.yaml') || diskFileSystem.exists(path),
    readText: (path) => (path.endsWith('chain.yaml') ? text : diskFileSystem.readText(path)),
  };
  return readChain('chain', fs);
};
const fault = (text: string): { message: string; exitCode: number } => {
  try {
    chainOf(text);
  } catch (error) {
    if (error instanceof OperatorError) return { message: error.message, exitCode: error.exitCode };
    throw error;
  }
  throw new Error('the chain file was accepted');
};

describe('readChain', () => {
  it('fills what is left out: numbers NaN, an open range to infinity, lists empty', () => {
    const chain = chainOf(
      `${good}outputs: [{ output: steak, class: main cut }]\nmethods: [{ method: whole, item: 112A, main: [steak], outputs: [steak] }]\n`,
    );
    expect(chain.items[0]?.weight_classes[0]).toEqual({ name: '13-up', from: 13, to: Infinity });
    expect(chain.methods[0]).toMatchObject({ aliases: [], demand_per_week: Number.NaN });
    expect(chain.privacy.minimum_group).toBe(5);
    expect(chain.labor_per_hour).toBeNaN();
    expect(chain.senders).toEqual([]);
  });

  it('gives an item without weight classes one that holds every weight', () => {
    const chain = chainOf(`${good}  - item: '180'\n`);
    expect(chain.items.map((item) => item.weight_classes.map(({ name }) => name))).toEqual([
      ['13-up'],
      ['all weights'],
    ]);
    for (const weight of [0.1, 9, 90])
      expect(weightClassOf(chain, { item: '180', spec: '' }, weight)).toBe('all weights');
    expect(weightClassOf(chain, { item: '112A', spec: '' }, 9)).toBe('');
  });

  it('names the line of what contradicts itself', () => {
    expect(
      fault(`${good}grades: [{ grade: Prime, scale: USDA }, { grade: PRIME, scale: Canada }]\n`),
    ).toEqual({
      exitCode: 78,
      message: expect.stringMatching(
        /^chain.yaml line 8: "prime" names both Prime \(USDA\) and PRIME \(Canada\)/,
      ),
    });
  });

  it('names line and key of an unknown key, and the key of the same place that was meant', () => {
    expect(fault(`${good}tolerance: { unaccounted_warn: 1 }\n`)).toEqual({
      exitCode: 78,
      message: 'chain.yaml line 8: the file has an unknown key "tolerance"; did you mean "tolerances"?',
    });
    expect(fault(good.replace('weight_classes', 'weight_class')).message).toBe(
      'chain.yaml line 7: items.0 has an unknown key "weight_class"; did you mean "weight_classes"?',
    );
  });

  it('names the line of a wrong value and of broken YAML, and a file that is not there', () => {
    expect(fault(good.replace('unit: lb', 'unit: stone'))).toEqual({
      exitCode: 78,
      message: expect.stringMatching(/^chain.yaml line 3: unit must be equal to one of/),
    });
    expect(fault(`${good}outputs: [{ output: fat\n`).message).toMatch(/^chain.yaml line \d+: /);
    expect(() => readChain('test/no-such-chain', diskFileSystem)).toThrow(/no chain.yaml/);
  });
});
