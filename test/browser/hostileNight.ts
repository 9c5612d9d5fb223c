import { stringify } from 'csv-stringify/sync';
import { stringify as yaml } from 'yaml';
import type { NightFiles } from './sampleNight.ts';

/** 40 ways to smuggle a script in a text. Each would call `alert` with its own number, from 1 on. */
export const payloads = [
  '<script>alert(1)</script>',
  '</script><script>alert(2)</script>',
  '"><script>alert(3)</script>',
  "'><script>alert(4)</script>",
  '<img src=x onerror=alert(5)>',
  '"><img src=x onerror=alert(6)>',
  '<svg onload=alert(7)>',
  '<svg><script>alert(8)</script></svg>',
  '<body onload=alert(9)>',
  '<iframe src=javascript:alert(10)>',
  '<a href=javascript:alert(11)>x</a>',
  'javascript:alert(12)',
  '" onmouseover="alert(13)',
  "' onfocus='alert(14)' autofocus='",
  '<input autofocus onfocus=alert(15)>',
  '<details open ontoggle=alert(16)>',
  '<video><source onerror=alert(17)>',
  '<audio src=x onerror=alert(18)>',
  '<object data=javascript:alert(19)>',
  '<embed src=javascript:alert(20)>',
  '<math href=javascript:alert(21)>x</math>',
  '<marquee onstart=alert(22)>',
  '<style>@import url(javascript:alert(23))</style>',
  '<link rel=stylesheet href=javascript:alert(24)>',
  '<meta http-equiv=refresh content="0;url=javascript:alert(25)">',
  '<base href=javascript:alert(26)//>',
  '<form action=javascript:alert(27)><button>x</button></form>',
  '<!--><script>alert(28)</script>-->',
  '<![CDATA[<script>alert(29)</script>]]>',
  '<scr<script>ipt>alert(30)</scr</script>ipt>',
  '&lt;script&gt;alert(31)&lt;/script&gt;',
  '&#60;script&#62;alert(32)&#60;/script&#62;',
  '<ScRiPt>alert(33)</sCrIpT>',
  '<script/x>alert(34)</script>',
  '<template><script>alert(35)</script></template>',
  '<svg><animate onbegin=alert(36) attributeName=x dur=1s>',
  `$${'{alert(37)}'}`,
  '{{constructor.constructor("alert(38)")()}}',
  '\\u003cscript\\u003ealert(39)\\u003c/script\\u003e',
  '<noscript><p title="</noscript><img src=x onerror=alert(40)>">',
];

/** Payloads that no column but a note takes: they hold the codes of signs (`&lt;`) in place of the signs. */
export const damaged = [31, 32, 39];

/** Whether a page tells of a field. What none tells of is kept for the results and a cutter's own record. */
type Field = { mark: string; isShown: boolean };

/** Every text field that takes any text: a column of a CSV or a key of the chain file, and a mark for its texts. */
export const plantedFields: Record<string, Field> = {
  'cutting-tests test_id': { mark: 'Ti', isShown: true },
  'cutting-tests store': { mark: 'Ts', isShown: true },
  'cutting-tests cutter': { mark: 'Tc', isShown: true },
  'cutting-tests treatment': { mark: 'Tt', isShown: false },
  'cutting-tests supplier': { mark: 'Tu', isShown: true },
  'cutting-tests plant': { mark: 'Tl', isShown: true },
  'cutting-tests lot': { mark: 'To', isShown: true },
  'cutting-tests leaker': { mark: 'Te', isShown: false },
  'cutting-tests bought_class': { mark: 'Tb', isShown: false },
  'cutting-tests witness': { mark: 'Tw', isShown: false },
  'cutting-tests note': { mark: 'Tn', isShown: false },
  'portions piece': { mark: 'Pp', isShown: false },
  'stores name': { mark: 'Sn', isShown: true },
  'stores region': { mark: 'Sr', isShown: true },
  'cutters name': { mark: 'Cn', isShown: true },
  'coaching habit': { mark: 'Oh', isShown: false },
  'coaching by': { mark: 'Ob', isShown: false },
  'chain.yaml spec': { mark: 'Is', isShown: true },
  'chain.yaml item': { mark: 'Ii', isShown: true },
  'chain.yaml item name': { mark: 'In', isShown: true },
  'chain.yaml imps': { mark: 'Im', isShown: false },
  'chain.yaml alias of an item': { mark: 'Ia', isShown: false },
  'chain.yaml weight class': { mark: 'Iw', isShown: true },
  'chain.yaml output': { mark: 'Uo', isShown: true },
  'chain.yaml method': { mark: 'Mm', isShown: true },
  'chain.yaml grade': { mark: 'Gg', isShown: true },
  'chain.yaml scale': { mark: 'Gs', isShown: false },
};

/** Names that a page may cut short carry their mark in front; in all others the payload comes first. */
const begun = new Set(['stores name', 'chain.yaml item name']);

/** The i-th payload as it stands in a field: with the field's mark, so that a text on a page tells where it came from. */
export const planted = (field: string, i: number): string => {
  const mark = plantedFields[field]?.mark;
  if (mark === undefined) throw new Error(`${field} is not among the planted fields`);
  const payload = payloads[i % payloads.length] as string;
  return begun.has(field) ? `${mark} ${payload}` : `${payload} ${mark}`;
};

const count = payloads.length;
const each = <T>(make: (i: number) => T): T[] => Array.from({ length: count }, (_, i) => make(i));
const day = (back: number): string =>
  new Date(Date.UTC(2026, 10, 22) - back * 86_400_000).toISOString().slice(0, 10);

const isDamaged = (i: number): boolean => damaged.includes((i % count) + 1);
/** A field's text in a line that is to be taken: its payload, or `plain` where the payload is one that no column takes. */
const sent = (field: string, i: number, plain = 'plain'): string =>
  isDamaged(i) ? plain : planted(field, i);

const item = (i: number): string => planted('chain.yaml item', i % count);
const method = (i: number): string => planted('chain.yaml method', i % count);
const main = (i: number): string => planted('chain.yaml output', i % count);
const grade = (i: number): string => planted('chain.yaml grade', i % count);
const supplier = (i: number): string => sent('cutting-tests supplier', i);
const spec = (i: number): string => planted('chain.yaml spec', i % count);
/** The names that stores send: the chain's own, or an alias where a column would not take it. */
const called = (kind: 'item' | 'method' | 'output' | 'grade', i: number): string =>
  sent(`chain.yaml ${kind}`, i % count, alias(kind, i));
const alias = (kind: string, i: number): string => `${kind}-${i % count}`;
const range = (i: number): string => planted('chain.yaml weight class', i % count);
/** Half of the stores are known by a hostile name, half by a hostile key alone; likewise their cutters. */
const store = (s: number): string => (s < count ? `s-${s}` : sent('cutting-tests store', s, `s-${s}`));
const cutter = (s: number): string => (s < count ? `c-${s}` : sent('cutting-tests cutter', s, `c-${s}`));

/** One chain entry of each kind for each payload. */
const chainFile = (): string =>
  yaml({
    name: payloads.join(' '),
    timezone: 'America/Chicago',
    privacy: { minimum_group: 1, names: true },
    labor_per_hour: 24,
    target_margin: 30,
    lean_trim_floor: 50,
    items: each((i) => ({
      item: item(i),
      name: planted('chain.yaml item name', i),
      imps: planted('chain.yaml imps', i),
      aliases: [planted('chain.yaml alias of an item', i), alias('item', i)],
      spec: spec(i),
      weight_classes: [
        { name: range(i), from: 8, to: 14 },
        { name: 'more', from: 14 },
      ],
      portions: [{ output: main(i), weight: 0.75, tolerance: 0.05 }],
    })),
    outputs: [
      ...each((i) => ({ output: main(i), aliases: [alias('output', i)], class: 'main cut' })),
      { output: 'lean trim', class: 'lean trim', lean_point: 80 },
      { output: 'fat', class: 'fat' },
    ],
    methods: each((i) => ({
      method: method(i),
      aliases: [alias('method', i)],
      item: item(i),
      main: [main(i)],
      outputs: [main(i), 'lean trim', 'fat'],
    })),
    grades: each((i) => ({
      grade: grade(i),
      aliases: [alias('grade', i)],
      scale: planted('chain.yaml scale', i),
      rank: i + 1,
    })),
    senders: [{ name: 'all', files: '**/*.csv', decimal: '.', dates: 'ymd', delimiter: ',' }],
  });

/** The lines of one test: the t-th of store s on its j-th item. Every third store trims too deep; every other box holds pieces below the range it was bought in. */
const test = (s: number, j: number, t: number): Line[] => {
  const at = s * 24 + j * 6 + t;
  const i = (s + j) % count;
  const wobble = Math.sin(at * 12.9898) * 0.01;
  const received = 11 + ((at * 7) % 5);
  const purge = received * (0.05 + wobble);
  const deep = j === 0 && s % 3 === 0 ? 0.08 : 0;
  const shares = [0.8 - deep + wobble, 0.08 + (deep - wobble) / 2, 0.12 + (deep - wobble) / 2];
  const head = {
    test_id: at < count ? sent('cutting-tests test_id', at, `t-${at}`) : `t-${at}`,
    store: store(s),
    cutter: cutter(s),
    cut_date: day((at * 5) % 90),
    item: called('item', i),
    spec: isDamaged(i) ? '' : spec(i),
    treatment: sent('cutting-tests treatment', i),
    grade: called('grade', i),
    supplier: supplier(i + (t % 2)),
    plant: sent('cutting-tests plant', i),
    lot: sent('cutting-tests lot', i + (t % 2)),
    leaker: sent('cutting-tests leaker', at),
    bought_class: t % 2 === 0 ? 'more' : sent('cutting-tests bought_class', (at - 1) / 2),
    ...weighed(received),
    purge_weight: purge.toFixed(3),
    method: called('method', i),
    witness: sent('cutting-tests witness', at),
    note: sent('cutting-tests note', at),
  };
  return [called('output', i), 'lean trim', 'fat'].map((output, k) => ({
    ...head,
    output,
    output_weight: ((received - purge) * (shares[k] as number)).toFixed(3),
  }));
};

type Line = Record<string, string | number>;

const weighed = (pounds: number): Line => ({
  billed_weight: (1.04 * pounds).toFixed(2),
  received_weight: pounds.toFixed(2),
  weighed: 'in-bag',
  unit: 'lb',
  unit_cost: 8,
  minutes: 9,
});

const csv = (lines: readonly Line[]): Buffer =>
  Buffer.from(
    stringify([...lines], {
      header: true,
      columns: [...new Set(lines.flatMap((line) => Object.keys(line)))],
    }),
  );

/** Columns that do not take any text, and the code with which they refuse one. */
export const closedColumns = {
  'cutting-tests': {
    cut_date: 'date-invalid',
    item: 'item-unknown',
    grade: 'grade-unknown',
    output: 'output-unknown',
    received_weight: 'number-invalid',
    billed_weight: 'number-invalid',
    purge_weight: 'number-invalid',
    output_weight: 'number-invalid',
    unit_cost: 'number-invalid',
    minutes: 'number-invalid',
    weighed: 'choice-invalid',
    unit: 'choice-invalid',
    reason: 'choice-invalid',
  },
  prices: {
    output: 'output-unknown',
    price: 'number-invalid',
    unit: 'choice-invalid',
    kind: 'choice-invalid',
  },
  quotes: {
    item: 'item-unknown',
    basis: 'choice-invalid',
    state: 'choice-invalid',
    valid_to: 'date-invalid',
  },
  volumes: { item: 'item-unknown', week_of: 'date-invalid', weight: 'number-invalid' },
} as const;

/**
 * Lines of a table to be refused, each right but for one cell: for every closed column and payload, and for every column
 * that takes other texts and each damaged payload.
 */
const refusedLines = (table: string, line: Line): Line[] => [
  ...Object.keys(table in closedColumns ? closedColumns[table as keyof typeof closedColumns] : {}).flatMap(
    (column) => each((i) => ({ ...line, ...ownId(table, column, i), [column]: payloads[i] as string })),
  ),
  ...Object.keys(plantedFields)
    .map((field) => field.split(' ') as [string, string])
    .filter(([file]) => file === table)
    .flatMap(([file, column]) =>
      damaged.map((number) => ({
        ...line,
        ...ownId(table, column, number),
        [column]: planted(`${file} ${column}`, number - 1),
      })),
    ),
];
const ownId = (table: string, column: string, i: number): Line =>
  table === 'cutting-tests' ? { test_id: `${column}-${i}` } : {};

const refusedTest: Line = {
  ...weighed(12),
  store: 's-0',
  cutter: 'c-0',
  cut_date: day(3),
  item: item(0),
  grade: grade(0),
  purge_weight: 0.1,
  method: method(0),
  reason: 'routine',
  output: main(0),
  output_weight: 9,
};

const piece = { store: 's-2', test_id: 't-60', output: main(4), weight: 0.75, unit: 'lb' };
const week = { week_of: '2026-11-16', weight: 200, unit: 'lb' };
const price = { unit: 'lb', valid_from: '2025-01-01', kind: 'regular' };
const coached = { cutter: 'c-0', item: item(0), coached_on: '2026-10-01' };

const quote = (i: number): Line => ({
  supplier: supplier(i),
  plant: sent('cutting-tests plant', i),
  item: called('item', i),
  spec: isDamaged(i) ? '' : spec(i),
  grade: called('grade', i),
  weight_class: sent('chain.yaml weight class', i, 'more'),
  price: 8,
  unit: 'lb',
  basis: 'delivered',
  state: 'fresh',
  valid_from: '2026-11-16',
  valid_to: '2026-11-29',
});

const stores = Array.from({ length: 2 * count }, (_, s) => s);
const tests = (): Line[] =>
  stores.flatMap((s) => [0, 1, 2, 3].flatMap((j) => [0, 1, 2, 3, 4, 5].flatMap((t) => test(s, j, t))));

/** The lines of each reference table. */
const referenceLines = (): Record<string, Line[]> => ({
  prices: [
    ...each((i) => ({ output: called('output', i), price: 14, ...price })),
    { output: 'lean trim', price: 4, ...price },
    { output: 'fat', price: 0.2, ...price },
    ...refusedLines('prices', { output: 'fat', price: 0.2, ...price }),
  ],
  stores: [
    ...each((s) => ({
      store: store(s),
      name: sent('stores name', s),
      region: sent('stores region', s),
      tests_owed_per_week: 3,
    })),
    ...refusedLines('stores', { store: 's-0', name: 'plain', region: 'plain' }),
  ],
  cutters: [
    ...each((s) => ({ cutter: cutter(s), name: sent('cutters name', s), store: store(s) })),
    ...refusedLines('cutters', { cutter: 'c-0', store: 's-0' }),
  ],
  volumes: [
    ...stores.flatMap((s) =>
      [0, 1, 2, 3].map((j) => ({ store: store(s), item: called('item', s + j), ...week })),
    ),
    ...refusedLines('volumes', { store: 's-0', item: item(0), ...week }),
  ],
  quotes: [...each(quote), ...refusedLines('quotes', quote(0))],
  standards: each((i) => ({
    item: called('item', i),
    method: called('method', i),
    output: called('output', i),
    yield: 0.9,
    valid_from: '2025-01-01',
  })),
  coaching: [
    ...each((s) => ({
      ...coached,
      cutter: cutter(s),
      item: called('item', s),
      habit: sent('coaching habit', s),
      by: sent('coaching by', s),
    })),
    ...refusedLines('coaching', { ...coached, by: 'plain' }),
  ],
});

/** A chain whose every name, and every text that its stores send, tries to be a script: each of the payloads in each field. */
export const hostileFiles = (): NightFiles =>
  new Map([
    ['chain.yaml', Buffer.from(chainFile())],
    ['inbox/tests.csv', csv(tests())],
    ['inbox/cutting-tests.csv', csv(refusedLines('cutting-tests', refusedTest))],
    [
      'inbox/portions.csv',
      csv([
        ...each((i) => ({ ...piece, piece: sent('portions piece', i, `plain ${i}`) })),
        ...refusedLines('portions', { ...piece, test_id: 't-61' }),
      ]),
    ],
    ...Object.entries(referenceLines()).map(
      ([name, lines]) => [`reference/${name}.csv`, csv(lines)] as [string, Buffer],
    ),
  ]);
