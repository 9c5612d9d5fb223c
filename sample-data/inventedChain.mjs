// The invented grocer behind the sample files: its stores, people, suppliers and tests, seeded; reads no clock.
let state = 20261122;
export const uniform = () => {
  state = (state + 0x6d2b79f5) | 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
};
const normal = (sd) => sd * Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
const pick = (list) => list[Math.floor(uniform() * list.length)];
export const iso = (day) => new Date(day * 864e5).toISOString().slice(0, 10);
export const lastDay = Date.UTC(2026, 10, 22) / 864e5;
export const firstDay = lastDay - 364;
const pad = (n, width) => String(n).padStart(width, '0');

export const regions = ['Harbor', 'Uplands', 'Valley', 'Lakes'];
export const stores = Array.from({ length: 24 }, (_, i) => ({
  store: `s-${pad(i + 1, 3)}`,
  region: regions[i % 4],
  effect: normal(0.6),
  division: i % 5 === 0 ? 0.05 : 0.01,
  drained: i === 6,
  silent: i === 21,
}));
const first = [
  'Ada',
  'Bo',
  'Cleo',
  'Dario',
  'Edda',
  'Finn',
  'Gia',
  'Hugo',
  'Ines',
  'Jory',
  'Kaya',
  'Lior',
  'Mira',
  'Nils',
  'Odile',
  'Pax',
  'Quin',
  'Rana',
  'Silas',
  'Tove',
];
const last = [
  'Arkwell',
  'Brindle',
  'Corrow',
  'Dunmere',
  'Eskdale',
  'Farrowby',
  'Glenholt',
  'Harkness',
  'Isling',
  'Joyner',
];
export const cutters = Array.from({ length: 72 }, (_, i) => ({
  cutter: `c-${pad(401 + i * 7, 4)}`,
  name: `${first[i % 20]} ${last[(i * 3) % 10]}`,
  stores: [stores[i % 24], ...(i % 9 === 0 ? [stores[(i + 4) % 24]] : [])],
  effect: normal(0.7),
  since: iso(firstDay - 200 - i * 31),
}));
export const suppliers = [
  { name: 'Tallgrass Packing', purge: 1.2, effect: 0.3 },
  { name: 'Mœrland Beef', purge: 1.3, effect: -0.2 },
  { name: 'Millrace Meats', purge: 3.1, effect: 0 },
];

// shares of drained weight by class, per item, spec and method: main, other, lean, fat, bone, and hands-on minutes
const lines = {
  '112A|': {
    weight: [14, 1.5],
    cost: 11,
    kinds: {
      'whole steaks': {
        main: ['ribeye steak', 86],
        rest: [
          ['lean trim', 4.5],
          ['fat', 8.7],
        ],
        minutes: 6,
      },
      'cap and eye': {
        main: ['ribeye eye', 49],
        rest: [
          ['ribeye cap', 16.5],
          ['lean trim', 16],
          ['fat', 17.3],
        ],
        minutes: 14,
      },
    },
  },
  '180|0x1': {
    weight: [12.6, 1.2],
    cost: 9.2,
    kinds: {
      steaks: {
        main: ['strip steak', 84],
        rest: [
          ['lean trim', 4.5],
          ['fat', 10.6],
        ],
        minutes: 6,
      },
    },
  },
  '180|1x1': {
    weight: [13.4, 1.2],
    cost: 8.6,
    kinds: {
      steaks: {
        main: ['strip steak', 79],
        rest: [
          ['lean trim', 6],
          ['fat', 14],
        ],
        minutes: 7,
      },
    },
  },
  '184|': {
    weight: [12.5, 1.3],
    cost: 5.1,
    kinds: {
      whole: {
        main: ['sirloin steak', 83],
        rest: [
          ['lean trim', 8],
          ['fat', 8.2],
        ],
        minutes: 6,
      },
      'by muscle': {
        main: ['center sirloin', 51],
        rest: [
          ['sirloin cap', 18],
          ['stew beef', 9],
          ['lean trim', 9],
          ['fat', 12.3],
        ],
        minutes: 13,
      },
    },
  },
  '189A|': {
    weight: [5.4, 0.5],
    cost: 12.5,
    kinds: {
      filets: {
        main: ['filet', 70],
        rest: [
          ['tips', 12],
          ['lean trim', 9],
          ['fat', 8],
        ],
        minutes: 8,
      },
    },
  },
  '116A|': {
    weight: [20, 2],
    cost: 4.3,
    kinds: {
      roasts: {
        main: ['chuck roast', 78],
        rest: [
          ['stew beef', 6],
          ['lean trim', 8],
          ['fat', 7.2],
        ],
        minutes: 9,
      },
    },
  },
  '410|': {
    weight: [16, 1.4],
    cost: 1.9,
    kinds: {
      'bone-in': {
        main: ['bone-in chop', 90],
        rest: [
          ['lean trim', 3],
          ['fat', 4],
          ['bone', 2.3],
        ],
        minutes: 4.5,
      },
      boneless: {
        main: ['boneless chop', 62],
        rest: [
          ['lean trim', 11],
          ['fat', 8],
          ['bone', 18.2],
        ],
        minutes: 9,
      },
    },
  },
};
export const prices = {
  'ribeye steak': 15.99,
  'ribeye eye': 17.99,
  'ribeye cap': 20.99,
  'strip steak': 13.99,
  'sirloin steak': 8.99,
  'center sirloin': 10.49,
  'sirloin cap': 9.99,
  filet: 24.99,
  tips: 9.99,
  'chuck roast': 6.99,
  'stew beef': 6.49,
  'bone-in chop': 3.49,
  'boneless chop': 4.99,
  'lean trim': 4.49,
  fat: 0.05,
  bone: 0.1,
};

const habitOf = (cutter, item, store, day) => {
  if (cutter.cutter === cutters[12].cutter && item === '112A')
    return { main: -4.5, lean: 3.2, fat: 1.3, missing: 0 };
  if (cutter.cutter === cutters[30].cutter && item === '180')
    return {
      main: day < firstDay + 190 ? -4 : -0.3,
      lean: day < firstDay + 190 ? 1 : 0.1,
      fat: day < firstDay + 190 ? 3 : 0.2,
      missing: 0,
    };
  if (cutter.cutter === cutters[43].cutter && item === '116A')
    return { main: 0, lean: -3.6, fat: 0, missing: 3.6 };
  if (store.store === 's-010' && item === '184') return { main: -3.5, lean: 2.6, fat: 0.9, missing: 0 };
  return { main: 0, lean: 0, fat: 0, missing: 0 };
};

const makeTest = (id, cutter, store, day) => {
  const key = pick(Object.keys(lines));
  const [item, spec] = key.split('|');
  const about = lines[key];
  const method = pick(Object.keys(about.kinds));
  const kind = about.kinds[method];
  const supplier = pick(suppliers);
  const isPork = item === '410';
  const grade = isPork ? 'Pork' : uniform() < (store.region === 'Lakes' ? 0.6 : 0.25) ? 'Select' : 'Choice';
  const heavier = item === '112A' ? (1.2 * (day - firstDay)) / 364 : 0;
  const round = (lb) => Math.round(lb / store.division) * store.division;
  const drained = about.weight[0] + heavier + normal(about.weight[1]);
  const purgeShare = Math.max(0.2, supplier.purge + normal(0.35)) / 100;
  const received = drained / (1 - purgeShare);
  const habit = habitOf(cutter, item, store, day);
  const skill =
    cutter.effect +
    store.effect +
    supplier.effect +
    normal(1.6) +
    (grade === 'Select' ? 1.1 : 0) -
    0.35 * (drained - about.weight[0]);
  const loss = Math.max(0.1, 0.8 + normal(0.25)) + habit.missing;
  const shares = Object.fromEntries(kind.rest.map(([name, share]) => [name, share * (1 + normal(0.06))]));
  shares['lean trim'] = Math.max(0.3, shares['lean trim'] + habit.lean - skill * 0.4);
  const others = () =>
    Object.entries(shares).reduce((sum, [name, share]) => (name === 'fat' ? sum : sum + share), 0);
  const main = kind.main[1] + habit.main + skill;
  shares.fat = Math.max(0.5, 100 - main - others() - loss);
  const outputs = [[kind.main[0], main], ...kind.rest.map(([name]) => [name, shares[name]])].map(
    ([name, share]) => [name, round((drained * share) / 100)],
  );
  return {
    id,
    store,
    cutter,
    day,
    item,
    spec,
    method,
    supplier: supplier.name,
    lot: `${supplier.name.slice(0, 2).toUpperCase()}${iso(day).slice(2, 7).replace('-', '')}-${1 + Math.floor(uniform() * 4)}`,
    grade,
    billed: round(received),
    received: round(store.drained ? drained : received),
    purge: round(drained * purgeShare),
    minutes: Math.round(kind.minutes * (1 + normal(0.12)) * 10) / 10,
    cost: about.cost,
    outputs,
    bought: '',
  };
};

export const tests = [];
let serial = 0;
for (const cutter of cutters) {
  for (let day = firstDay + Math.floor(uniform() * 6); day <= lastDay; day += 4 + Math.floor(uniform() * 4)) {
    const store = pick(cutter.stores);
    if (store.silent && day > lastDay - 60) continue;
    serial += 1;
    tests.push(makeTest(`T-${pad(serial, 5)}`, cutter, store, day));
  }
}
tests.sort((a, b) => a.day - b.day || (a.id < b.id ? -1 : 1));
// a few mistakes of each kind, as stores make them
tests.forEach((test, i) => {
  if (i % 397 === 11) test.outputs[0][1] *= 10;
  if (i % 397 === 97) test.outputs[1][1] *= 16;
  if (i % 397 === 151) [test.outputs[0][1], test.outputs[1][1]] = [test.outputs[1][1], test.outputs[0][1]];
  if (i % 397 === 211) test.outputs.splice(0, 1);
  if (i % 397 === 263) test.outputs[1][1] *= 0.45359237;
});

const portionSizes = { 'ribeye steak': 0.75, 'strip steak': 0.75, filet: 0.5 };
/** Piece, lb, of which a portion of the right weight is an inch thick; a heavier piece has a wider face, so a thinner portion. */
const inchThickFrom = { 'ribeye steak': 14.3, 'strip steak': 12.9, filet: 5.3 };
const portioned = (test) => test.day > lastDay - 182 && test.outputs.some(([name]) => name in portionSizes);
/** Single steaks of the last half year, lb and inches: six a test; one cutter's strip steaks are 1.1 oz too heavy. Draws on. */
export const portionsOf = (stores) =>
  tests
    .filter((test) => stores.includes(test.store) && portioned(test))
    .flatMap((test) => {
      const [output, weight] = test.outputs.find(([name]) => name in portionSizes);
      const target = portionSizes[output];
      const heavy = test.cutter === cutters[5] && output === 'strip steak' ? 1.1 / 16 : 0;
      const pieces = Array.from({ length: 6 }, () => target + heavy + normal(0.4 / 16));
      return pieces.reduce((sum, piece) => sum + piece, 0) > weight
        ? []
        : pieces.map((piece, i) => ({
            test,
            output,
            piece: i + 1,
            weight: piece,
            thickness: piece / (target * ((test.billed - test.purge) / inchThickFrom[output]) ** (2 / 3)),
          }));
    });
