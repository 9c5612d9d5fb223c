import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const chain = readChain('sample-data', diskFileSystem);
const setting = {
  chain,
  ...readSentSchemas(diskFileSystem),
  asOfDay: dayFromIso('2026-11-23'),
};
const header = 'store,test_id,output,piece,weight,unit,thickness_in';
const read = (...rows: string[]) =>
  delivered(
    { path: 'inbox/portions.csv', bytes: new TextEncoder().encode(`${[header, ...rows].join('\n')}\n`) },
    setting,
  );

describe('portions as delivered', () => {
  it('are told from cutting tests by their columns and come out in kg', () => {
    const own = read('s1,T1,ribeye steak,1,16,oz,1', 's1,T1,ribeye steak,2,1,lb,');
    expect(own.versions.count).toBe(0);
    expect(own.portions).toHaveLength(1);
    expect(own.portions[0]?.portions.map((portion) => portion.weightKg)).toEqual([0.45359237, 0.45359237]);
    expect(own.portions[0]?.portions.map((portion) => portion.thicknessIn)).toEqual([1, Number.NaN]);
    expect(own.portions[0]?.portions[1]).toMatchObject({ piece: '2', sourceLine: 3 });
  });

  it('are read from a sender whose tests are wide: a portion is a row in any layout', () => {
    const bytes = new TextEncoder().encode(`${header}\ns1,T1,ribeye steak,1,16,oz,1\ns1,T2,fat,1,x,oz,1\n`);
    const wide = { name: 'wide', files: '**', layout: 'wide' as const, columns: {}, wide: {}, defaults: {} };
    const senders = [{ ...wide, footer: [], codes: { grade: {}, item: {}, output: {} } }];
    const own = delivered({ path: 'inbox/p.csv', bytes }, { ...setting, chain: { ...chain, senders } });
    expect(own.portions.map((version) => version.testId)).toEqual(['T1']);
    expect(own.givenBack).toEqual([{ sourceLine: 3, record: ['s1', 'T2', 'fat', '1', 'x', 'oz', '1'] }]);
  });

  it('are held back with every row of their test when one is bad', () => {
    const own = read(
      's1,T1,ribeye steak,1,16,oz,',
      's1,T1,ribeye steak,1,15,oz,',
      's1,T2,ribeye stake,1,15,oz,',
      's1,T3,ribeye steak,1,-1,oz,',
      's1,T3,ribeye steak,2,15,oz,',
      's1,T4,ribeye steak,1,15,oz,',
    );
    expect(own.portions.map((version) => version.testId)).toEqual(['T4']);
    expect(own.rejects.map((reject) => [reject.code, reject.sourceLine])).toEqual([
      ['number-out-of-range', 5],
      ['piece-repeated', 3],
      ['test-held-back', 2],
      ['output-unknown', 4],
      ['test-held-back', 6],
    ]);
    expect(own.givenBack).toHaveLength(5);
  });

  it('name the column they lack; a file of tests that lacks one is still read as tests', () => {
    const portions = delivered(
      { path: 'p.csv', bytes: new TextEncoder().encode('store,test_id,output,piece,weight\na,b,fat,1,2\n') },
      setting,
    );
    expect(portions.rejects[0]).toMatchObject({ code: 'column-missing', field: 'unit' });
    const tests = delivered(
      {
        path: 't.csv',
        bytes: new TextEncoder().encode(
          'test_id,store,cutter,cut_date,item,grade,unit,output,output_weight\n1,s,c,2026-01-02,112A,Choice,lb,fat,1\n',
        ),
      },
      setting,
    );
    expect(tests.rejects[0]).toMatchObject({ code: 'column-missing', field: 'received_weight' });
  });
});
