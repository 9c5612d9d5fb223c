import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { names, pageFile } from '../../../src/publish/pages/names.ts';

describe('names and file names', () => {
  it('gives names where there are names, and the key of a store only where two share one', () => {
    const called = names(
      {
        items: [
          {
            item: '180',
            imps: '180',
            name: 'Beef strip loin 0x1',
            aliases: [],
            spec: '0x1',
            weight_classes: [],
            portions: [],
          },
        ],
      },
      [
        {
          store: 's-1',
          name: 'Mill Street',
          region: 'North',
          lastTest: '',
          tests: 0,
          held: 0,
          cutters: 0,
          silent: false,
          refusedFiles: 0,
          sentButRefused: false,
          lastSent: '',
          sentButOld: false,
        },
        {
          store: 's-2',
          name: 's-2',
          region: 'North',
          lastTest: '',
          tests: 0,
          held: 0,
          cutters: 0,
          silent: false,
          refusedFiles: 0,
          sentButRefused: false,
          lastSent: '',
          sentButOld: false,
        },
        ...['s-3', 's-4'].map((store) => ({
          store,
          name: 'Hill Street',
          region: 'North',
          lastTest: '',
          tests: 0,
          held: 0,
          cutters: 0,
          silent: false,
          refusedFiles: 0,
          sentButRefused: false,
          lastSent: '',
          sentButOld: false,
        })),
      ],
    );
    expect(called.item('180')).toBe('strip loin (180)');
    expect(called.item('999')).toBe('999');
    expect(called.store('s-1')).toBe('Mill Street');
    expect(called.store('s-2')).toBe('s-2');
    expect(called.store('s-3')).toBe('Hill Street (s-3)');
    expect(called.store('s-4')).toBe('Hill Street (s-4)');
  });
  it('writes an item so that it goes into a sentence: beef unsaid, other species small, names of places large', () => {
    const said = (name: string): string =>
      names(
        { items: [{ item: '1', imps: '1', name, aliases: [], spec: '', weight_classes: [], portions: [] }] },
        [],
      ).item('1');
    expect(said('Beef strip loin')).toBe('strip loin (1)');
    expect(said('Pork loin')).toBe('pork loin (1)');
    expect(said('Porkette')).toBe('Porkette (1)');
    expect(said('Denver steak')).toBe('Denver steak (1)');
  });
  it('never leaves the folder and never gives two ids one file', () => {
    const long = ['Ж'.repeat(40), `${'Ж'.repeat(39)}Щ`, 'y'.repeat(300)].map((id) => pageFile('store', id));
    expect(new Set(long).size).toBe(3);
    for (const name of long) expect(name.length).toBeLessThan(150);
    expect(pageFile('store', '../../etc')).toBe('store-_2e__2e__2f__2e__2e__2f_etc.html');
    fc.assert(
      fc.property(fc.string(), fc.string(), (a, b) => {
        expect(pageFile('store', a)).toMatch(/^store-[A-Za-z0-9_-]*\.html$/);
        if (a !== b) expect(pageFile('store', a)).not.toBe(pageFile('store', b));
      }),
    );
  });
});
