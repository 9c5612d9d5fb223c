import { describe, expect, it } from 'vitest';
import { directorStores } from '../../../src/publish/pages/directorStores.tsx';
import type { DirectorView } from '../../../src/publish/pages/directorView.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { isReporting } from '../../../src/publish/pages/peopleFree.ts';

const write = formats({ language: 'en-US', currency: 'USD', unit: 'lb' });
const store = (key: string, over: Partial<DirectorView['stores'][number]> = {}) => ({
  ...{ store: key, name: `Shop ${key}`, region: 'North', lastTest: '2026-11-20', tests: 9, held: 0 },
  ...{ cutters: 6, silent: false, refusedFiles: 0, sentButRefused: false, lastSent: '', sentButOld: false },
  ...over,
});
const file = {
  file: 'week 3.csv',
  sender: 'north',
  stores: ['s2'],
  seen: '2026-11-21',
  why: 'Dates like 03/04/2026 can be read in two ways.',
  where: 'line 2, cut_date',
  remedy: 'Add dates: mdy or dates: dmy to this sender in chain.yaml.',
};
const pageOf = (over: Partial<DirectorView>): string => {
  const view = {
    basis: { data: '', adjusted: '' },
    span: 'a week',
    shown: { rows: [] },
    minimumGroup: 5,
    refused: [],
    stores: [store('s1')],
    ...over,
  } as unknown as DirectorView;
  const bundle = { chainName: 'Mill', reader: 'the meat director', nav: [], finds: '', banner: '' };
  return directorStores(view, bundle, write).replaceAll(/<[^>]+>/g, ' ');
};

describe('the stores as the director reads them', () => {
  it('tells a store whose files were refused whole from one that sent nothing', () => {
    const refused = store('s2', { sentButRefused: true, refusedFiles: 1, lastTest: '' });
    const text = pageOf({ stores: [store('s1'), refused], refused: [file] });
    expect(text).toContain(
      'No store is silent. 1 file was refused whole: of Shop s2 nothing that was sent lately',
    );
    expect(text).toContain('sent, but refused');
    for (const said of ['week 3.csv', 'north', file.why, file.where, file.remedy])
      expect(text).toContain(said);
    expect(text).not.toContain('sent nothing lately');
  });

  it('names a store that sends old sheets only, with its last cut, and does not count it among those that report', () => {
    const old = store('s2', { sentButOld: true, lastTest: '2026-08-03' });
    const text = pageOf({ stores: [store('s1'), old] });
    expect(text).toContain('Sent lately, but old sheets only: Shop s2 (last cut Aug 3, 2026).');
    expect(text).toContain('sent, but old');
    expect([store('s1'), old].map(isReporting)).toEqual([true, false]);
  });

  it('says of a silent store that it sent nothing, and nothing of refusals where there are none', () => {
    const text = pageOf({ stores: [store('s1', { silent: true }), store('s2')] });
    expect(text).toContain('Shop s1 has sent nothing lately');
    expect(text).not.toContain('refused whole:');
    expect(text).not.toContain('Files refused whole');
  });

  it('says whose a file is only as far as that is known', () => {
    const text = pageOf({
      refused: [
        { ...file, stores: [] },
        { ...file, stores: ['s1', 's9'] },
      ],
    });
    expect(text).toContain('2 files were refused whole.');
    expect(text).toContain('not known');
    expect(text).toContain('Shop s1, s9');
  });
});
