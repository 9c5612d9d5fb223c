import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { writeRemovedCutter } from '../../src/catalog/writeRemovedCutter.ts';
import type { FileSystem } from '../../src/system/fileSystem.ts';

const removedFrom = (text: string, ...cutters: string[]): { text: string; added: boolean[] } => {
  let held = text;
  const fs = {
    readText: () => held,
    replace: (_: string, data: string) => {
      held = data;
    },
  } as unknown as FileSystem;
  const added = cutters.map((cutter) => writeRemovedCutter('chain', cutter, fs));
  return { text: held, added };
};

describe('the list of removed cutters', () => {
  it('is begun at the end of a chain file without one', () => {
    expect(removedFrom('name: Mill', 'c-1').text).toBe('name: Mill\nremoved_cutters: ["c-1"]\n');
  });
  it('grows where it stands, in either way of writing it, and all else stays', () => {
    const flow = 'name: Mill\nremoved_cutters: [c-1] # asked in May\nunit: lb # pounds\n';
    expect(removedFrom(flow, 'c-2').text).toBe(
      'name: Mill\nremoved_cutters: ["c-1", "c-2"] # asked in May\nunit: lb # pounds\n',
    );
    const block = 'removed_cutters:\n  - c-1\n  - c-2\nunit: lb # pounds\n';
    const grown = removedFrom(block, 'c-3').text;
    expect(parse(grown)).toEqual({ removed_cutters: ['c-1', 'c-2', 'c-3'], unit: 'lb' });
    expect(grown).toContain('unit: lb # pounds\n');
  });
  it('names nobody twice and leaves the file alone then', () => {
    const text = 'removed_cutters: [c-1]\n';
    expect(removedFrom(text, 'c-1')).toEqual({ text, added: [false] });
  });
  it('holds any text as text', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.string(), { minLength: 1, maxLength: 4 }), (cutters) => {
        const { text } = removedFrom('name: Mill\nremoved_cutters: []\nunit: lb\n', ...cutters);
        expect(parse(text)).toEqual({ name: 'Mill', removed_cutters: cutters, unit: 'lb' });
      }),
    );
  });
});
