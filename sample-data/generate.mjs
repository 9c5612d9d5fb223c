// Writes the sample chain's files in five ways of sending. Same seed, same bytes; reads no clock.
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import {
  cutters,
  firstDay,
  iso,
  lastDay,
  portionsOf,
  prices,
  regions,
  stores,
  suppliers,
  tests,
  uniform,
} from './inventedChain.mjs';

const root = 'sample-data';
const lb = (value) => value.toFixed(2);
const write = (path, data) => {
  mkdirSync(`${root}/${path}`.replace(/\/[^/]*$/, ''), { recursive: true });
  writeFileSync(`${root}/${path}`, data);
};
const poundsOunces = (value) => {
  const ounces = Math.round(value * 1600) / 100;
  return `${Math.floor(ounces / 16)}-${(ounces % 16).toFixed(2).replace(/[.]?0+$/, '')}`;
};
const kg = (value) => (value * 0.45359237).toFixed(4).replace('.', ',');
/** Windows-1252 of a text: its letters beyond Latin-1 stand in bytes 80 to 9F, which are no UTF-8. */
const windows1252 = (text) => Buffer.from(text.replaceAll('œ', '\x9c').replaceAll('Œ', '\x8c'), 'latin1');
const encoded = (text, encoding) =>
  encoding === 'windows-1252' ? windows1252(text) : Buffer.from(text, encoding);
const outputNames = Object.keys(prices);
const weighed = (test) => (test.store.drained ? 'drained' : 'in-bag');
const dialects = [
  (own) => [
    `${[
      'test_id,store,cutter,cut_date,item,spec,grade,supplier,lot,billed_weight,received_weight,weighed,purge_weight,unit,unit_cost,method,minutes,output,output_weight',
      ...own.flatMap((t) =>
        t.outputs.map(([name, weight]) =>
          [
            t.id,
            t.store.store,
            t.cutter.cutter,
            iso(t.day),
            t.item,
            t.spec,
            t.grade,
            t.supplier,
            t.lot,
            lb(t.billed),
            lb(t.received),
            weighed(t),
            t.store.drained ? '' : lb(t.purge),
            'lb',
            t.cost,
            t.method,
            t.minutes,
            name,
            lb(weight),
          ].join(','),
        ),
      ),
    ].join('\n')}\n`,
    'utf8',
  ],
  (own) => [
    `\ufeff${[
      'Sheet no;Cutter;Day;Piece;Spec;Grade;Packer;Lot;Invoice kg;In kg;Drip kg;Cost kg;Way;Minutes;' +
        outputNames.map((n) => `${n} kg`).join(';'),
      ...own.map((t) =>
        [
          t.id,
          t.cutter.cutter,
          iso(t.day).split('-').reverse().join('/'),
          t.item,
          t.spec,
          t.grade,
          t.supplier,
          t.lot,
          kg(t.billed),
          kg(t.received),
          kg(t.purge),
          (t.cost / 0.45359237).toFixed(2).replace('.', ','),
          t.method,
          String(t.minutes).replace('.', ','),
          ...outputNames.map((n) => {
            const found = t.outputs.find(([name]) => name === n);
            return found ? kg(found[1]) : '';
          }),
        ].join(';'),
      ),
    ].join('\r\n')}\r\n`,
    'utf8',
  ],
  (own) => [
    `${[
      'Test\tStore\tWho\tDate\tItem\tSpec\tGrade\tSupplier\tLot\tBilled\tReceived\tPurge\tCost\tMethod\tMin\tOutput\tWeight',
      ...own.flatMap((t) =>
        t.outputs.map(([name, weight]) =>
          [
            t.id,
            t.store.store,
            t.cutter.cutter,
            iso(t.day),
            t.item,
            t.spec,
            t.grade === 'Choice' ? 'CH' : t.grade === 'Select' ? 'SE' : t.grade,
            t.supplier,
            t.lot,
            lb(t.billed),
            lb(t.received),
            lb(t.purge),
            t.cost,
            t.method,
            t.minutes,
            name,
            lb(weight),
          ].join('\t'),
        ),
      ),
      'END OF SHEETS',
    ].join('\n')}\n`,
    'windows-1252',
  ],
  (own) => [
    `\ufeff${['test_id|store|cutter|cut_date|item|spec|grade|supplier|lot|billed_weight|received_weight|weighed|purge_weight|unit|unit_cost|method|minutes|output|output_weight', ...own.flatMap((t) => t.outputs.map(([name, weight]) => [t.id, t.store.store, t.cutter.cutter, iso(t.day), t.item, t.spec, t.grade, t.supplier, t.lot, lb(t.billed), lb(t.received), 'in-bag', lb(t.purge), 'lb', t.cost, t.method, t.minutes, name, lb(weight)].join('|')))].join('\n')}\n`,
    'utf16le',
  ],
  (own) => [
    `\ufeff${['test_id,store,cutter,cut_date,item,spec,grade,supplier,lot,billed_weight,received_weight,weighed,purge_weight,unit,unit_cost,method,minutes,output,output_weight', ...own.flatMap((t) => t.outputs.map(([name, weight]) => [t.id, t.store.store, t.cutter.cutter, `${iso(t.day).slice(5, 7)}/${iso(t.day).slice(8)}/${iso(t.day).slice(0, 4)}`, t.item, t.spec, t.grade, t.supplier, t.lot, poundsOunces(t.billed), poundsOunces(t.received), 'in-bag', poundsOunces(t.purge), 'lb-oz', t.cost, t.method, t.minutes, name, poundsOunces(weight)].join(',')))].join('\r\n')}\r\n`,
    'utf8',
  ],
];
// the store that weighs drained sends in the first dialect
const folders = ['plain', 'kgsheets', 'tabs', 'bars', 'pounds'];
for (const folder of folders) rmSync(`${root}/inbox/${folder}`, { recursive: true, force: true });
stores.forEach((store, i) => {
  const own = tests.filter((test) => test.store === store);
  const d = store.drained ? 0 : i % 5;
  const [text, encoding] = dialects[d](own);
  write(`inbox/${folders[d]}/${store.store}.csv`, encoded(text, encoding));
});
const wrong =
  'test_id,store,cutter,cut_date,item,grade,received_weight,weighed,unit,method,output,output_weight\n';
write(
  'inbox/plain/mended-late.csv',
  `${wrong}X-1,s-001,c-0401,2026-11-02,112A,Choice,14.2,drained,lb,whole steaks,ribeye steak,12.1\nX-1,s-001,c-0401,2026-11-02,112A,Choice,14.2,drained,lb,whole steaks,fat,1,2\nX-2,s-001,c-0401,2026-11-03,112B,Choice,14.2,drained,lb,whole steaks,ribeye steak,12.1\nX-3,s-001,c-0401,2027-11-03,112A,Choice,14.2,drained,lb,whole steaks,ribeye steak,12.1\nX-4,s-001,c-0401,2026-11-03,112A,Choise,14.2,drained,lb,whole steaks,ribeye steak,12.1\n`,
);
write(
  'reference/stores.csv',
  `store,name,region,scale_division,tests_owed_per_week\n${stores.map((s, i) => `${s.store},${['Pier', 'Hill', 'Mill', 'Quay', 'Elm', 'Ferry'][i % 6]} Street ${i + 1},${s.region},${s.division},3`).join('\n')}\n`,
);
write(
  'reference/cutters.csv',
  `cutter,name,store,since\n${cutters.map((c) => `${c.cutter},${c.name},${c.stores[0].store},${c.since}`).join('\n')}\n`,
);
const ad = 'ribeye steak,12.99,lb,2026-11-09,2026-11-15,ad,,,\n';
write(
  'reference/prices.csv',
  `output,price,unit,valid_from,valid_to,kind,region,item,grade\n${regions.flatMap((region, i) => Object.entries(prices).map(([output, price]) => `${output},${(price * (1 + (i - 1.5) * 0.02)).toFixed(2)},lb,2025-11-01,,regular,${region},,`)).join('\n')}\n${ad}`,
);
write(
  'reference/volumes.csv',
  `store,item,week_of,weight,unit\n${stores.flatMap((s) => ['112A', '180', '184', '189A', '116A', '410'].flatMap((item) => Array.from({ length: 13 }, (_, w) => `${s.store},${item},${iso(lastDay - 7 * w - 6)},${Math.round(180 + 60 * uniform())},lb`))).join('\n')}\n`,
);
write(
  'reference/quotes.csv',
  `supplier,plant,item,spec,grade,weight_class,price,unit,basis,freight,state,valid_from,valid_to\n${suppliers
    .flatMap((s, i) =>
      [
        ['112A', '', '11-13', 10.9],
        ['112A', '', '13-15', 11],
        ['112A', '', '15-up', 10.7],
        ['180', '0x1', '12-14', 9.2],
      ].map(
        ([item, spec, range, price]) =>
          `${s.name},,${item},${spec},Choice,${range},${(price + i * 0.08).toFixed(2)},lb,${i === 1 ? 'FOB' : 'delivered'},${i === 1 ? 0.12 : ''},fresh,2026-11-16,2026-11-29`,
      ),
    )
    .join('\n')}\nTallgrass Packing,,189A,,Choice,3-4,18.40,lb,delivered,,fresh,2026-11-16,2026-11-29\n`,
);
write(
  'reference/standards.csv',
  'item,method,output,yield,valid_from\n112A,whole steaks,ribeye steak,0.89,2025-01-01\n112A,cap and eye,ribeye eye,0.49,2025-01-01\n180,steaks,strip steak,0.81,2025-01-01\n184,whole,sirloin steak,0.83,2025-01-01\n410,boneless,boneless chop,0.66,2025-01-01\n',
);
write(
  'reference/coaching.csv',
  `cutter,item,habit,coached_on,by\n${cutters[30].cutter},180,over-trimming,${iso(firstDay + 190)},R. Alder\n${cutters[8].cutter},112A,,${iso(firstDay + 220)},R. Alder\n`,
);
// single steaks, weighed in the rooms of two ways of sending; drawn last, so that all other files stay as they were
const portionFiles = [
  ['plain', ',', 'oz', 16, 'utf8', ''],
  ['bars', '|', 'lb', 1, 'utf16le', '\ufeff'],
];
for (const [folder, mark, unit, perLb, encoding, start] of portionFiles) {
  const rooms = stores.filter((store, i) => folders[store.drained ? 0 : i % 5] === folder);
  const rows = portionsOf(rooms).map(({ test, output, piece, weight, thickness }) =>
    [
      test.store.store,
      test.id,
      output,
      piece,
      (weight * perLb).toFixed(perLb === 1 ? 3 : 2),
      unit,
      thickness.toFixed(2),
    ].join(mark),
  );
  const header = ['store', 'test_id', 'output', 'piece', 'weight', 'unit', 'thickness_in'].join(mark);
  write(`inbox/${folder}/portions.csv`, encoded(`${start}${[header, ...rows].join('\n')}\n`, encoding));
}
console.log(`${tests.length} tests`);
