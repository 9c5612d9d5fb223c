import type { Chain, SenderEntry } from '../catalog/chain.ts';
import { findingKinds } from '../faults/findingKinds.ts';
import type { IngestedTable, Reject } from '../ingest/ingested.ts';
import { tiedPrices } from '../money/tiedPrices.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import { kilogramsPer } from '../units/weight.ts';
import { type CellReaders, cellReaders } from './cellReaders.ts';
import { type KeyFinder, keysOf } from './keyOf.ts';
import type { PriceRow, ReferenceTables } from './normalized.ts';
import { standingRows } from './referenceRows.ts';
import { type KeyField, rowFault, unknownKey } from './rowFaults.ts';
import { type Register, storesRegister } from './storesRegister.ts';

/** One reference table as read, with the path it is reported by and whose texts it is written in. */
export type ReadReference = {
  path: string;
  table: Pick<IngestedTable, 'lines' | 'places' | 'wideOutputs' | 'rejects'>;
  sender: SenderEntry;
};
type Reader<Value> = (line: number, name: string) => Value;
type Readers = { text: Reader<string>; quantity: Reader<number>; perKg: Reader<number> };

/**
 * Reference rows in kg, per kg and our keys, by table name; a table that was not sent is empty. Scale divisions are in the
 * chain's unit. Rows of removed cutters are left out; rows that name what neither the chain file nor the stores table knows
 * are refused. Of prices that tie, all are refused and stand without a price (NaN), so that no less specific one is taken in
 * their stead.
 */
export const normalizeReference = (
  read: ReadonlyMap<string, ReadReference>,
  chain: Chain,
): { tables: ReferenceTables; rejects: Reject[] } => {
  const register = storesRegister(read.get('stores')?.table);
  const known = [...read].map(([name, own]) => [name, knownRows(name, own, { chain, register })] as const);
  const tables = normalizedTables(new Map(known), chain);
  const ties = priceTies(tables.prices, new Map(known).get('prices'));
  return {
    tables: {
      ...tables,
      prices: tables.prices.map((row, i) => (ties.has(i) ? { ...row, pricePerKg: Number.NaN } : row)),
    },
    rejects: [...known.flatMap(([, own]) => own.rejects), ...ties.values()],
  };
};

type KnownRows = { path: string; lines: number[]; cells: CellReaders; rejects: Reject[] };

/** Kinds of findings on people, which a coaching may name; words of one's own will do too, unless they are nearly a kind. */
const kinds = Object.entries(findingKinds).flatMap(([kind, { reader }]) =>
  reader === 'trainer' ? [kind] : [],
);
const habit: KeyFinder = {
  find: (text) => (kinds.includes(text) || nearestWord(text, kinds) === '' ? text : ''),
  known: kinds,
};
const keyFields: readonly KeyField[] = ['item', 'output', 'grade', 'method', 'habit', 'store', 'region'];

/** The lines that name nothing unknown and contradict no other, and readers that give our keys. */
const knownRows = (
  name: string,
  { path, table, sender }: ReadReference,
  { chain, register }: { chain: Chain; register: Register },
): KnownRows => {
  const cells = cellReaders(table);
  const keys = keysOf(chain, sender);
  const finders: Partial<Record<KeyField, KeyFinder>> = {
    item: keys.item,
    output: keys.output,
    grade: keys.grade,
    habit,
    ...(name === 'stores' ? {} : register),
  };
  const finderOf = (line: number, field: KeyField): KeyFinder | undefined =>
    field === 'method' ? keys.methods.get(keys.item.find(cells.text(line, 'item'))) : finders[field];
  const fields = keyFields.filter((field) => table.places.has(field));
  const removed = new Set(chain.removed_cutters);
  const rejects: Reject[] = [];
  const named = [...table.lines.runs.keys()].filter((line) => {
    if (removed.has(cells.text(line, 'cutter'))) return false;
    const faults = fields.flatMap((field) => {
      const found = cells.text(line, field);
      const finder = finderOf(line, field);
      return found === '' || finder === undefined
        ? []
        : unknownKey(path, cells.at(line), { field, found }, finder);
    });
    for (const fault of faults) rejects.push(fault);
    return faults.length === 0;
  });
  const text: CellReaders['text'] = (line, name) => {
    const field = fields.find((own) => own === name);
    const found = cells.text(line, name);
    return (field === undefined ? undefined : finderOf(line, field))?.find(found) ?? found;
  };
  const own = { path, cells: { ...cells, text } };
  const standing = standingRows(name, named, own);
  return { ...own, lines: standing.lines, rejects: [...rejects, ...standing.rejects] };
};

/** The reject of every price that ties with another, by its place among the prices. */
const priceTies = (prices: readonly PriceRow[], rows: KnownRows | undefined): Map<number, Reject> => {
  const ties = new Map<number, Reject>();
  if (rows === undefined) return ties;
  const { path, lines, cells } = rows;
  for (const [i, other] of tiedPrices(prices).entries()) {
    const [line, rival] = [lines[i] as number, lines[other]];
    if (rival !== undefined)
      ties.set(
        i,
        rowFault(path, cells.at(line), 'price-tied', {
          field: 'price',
          found: cells.text(line, 'price'),
          expected: `one price; line ${cells.at(rival).sourceLine} asks ${cells.text(rival, 'price')}`,
        }),
      );
  }
  return ties;
};

const normalizedTables = (rows: ReadonlyMap<string, KnownRows>, chain: Chain): ReferenceTables => {
  const chainUnitKg = kilogramsPer(chain.unit);
  const of = <Row>(name: string, row: (line: number, readers: Readers) => Row): Row[] => {
    const own = rows.get(name);
    if (own === undefined) return [];
    const { text, quantity } = own.cells;
    const perKg: Reader<number> = (line, column) => quantity(line, column) / kilogramsPer(text(line, 'unit'));
    return own.lines.map((line) => row(line, { text, quantity, perKg }));
  };
  return {
    prices: of('prices', (line, { text, quantity, perKg }) => ({
      output: text(line, 'output'),
      pricePerKg: perKg(line, 'price'),
      validFrom: quantity(line, 'valid_from'),
      validTo: quantity(line, 'valid_to'),
      kind: text(line, 'kind'),
      region: text(line, 'region'),
      item: text(line, 'item'),
      grade: text(line, 'grade'),
    })),
    quotes: of('quotes', (line, { text, quantity, perKg }) => ({
      supplier: text(line, 'supplier'),
      plant: text(line, 'plant'),
      item: text(line, 'item'),
      spec: text(line, 'spec'),
      grade: text(line, 'grade'),
      weightClass: text(line, 'weight_class'),
      pricePerKg: perKg(line, 'price'),
      basis: text(line, 'basis'),
      freightPerKg: perKg(line, 'freight'),
      state: text(line, 'state'),
      validFrom: quantity(line, 'valid_from'),
      validTo: quantity(line, 'valid_to'),
    })),
    stores: of('stores', (line, { text, quantity }) => ({
      store: text(line, 'store'),
      name: text(line, 'name'),
      region: text(line, 'region'),
      scaleDivisionKg: quantity(line, 'scale_division') * chainUnitKg,
      testsOwedPerWeek: quantity(line, 'tests_owed_per_week'),
    })),
    volumes: of('volumes', (line, { text, quantity }) => ({
      store: text(line, 'store'),
      item: text(line, 'item'),
      weekOf: quantity(line, 'week_of'),
      weightKg: quantity(line, 'weight') * kilogramsPer(text(line, 'unit')),
    })),
    cutters: of('cutters', (line, { text, quantity }) => ({
      cutter: text(line, 'cutter'),
      name: text(line, 'name'),
      store: text(line, 'store'),
      since: quantity(line, 'since'),
    })),
    standards: of('standards', (line, { text, quantity }) => ({
      item: text(line, 'item'),
      method: text(line, 'method'),
      output: text(line, 'output'),
      yieldFraction: quantity(line, 'yield'),
      validFrom: quantity(line, 'valid_from'),
    })),
    coaching: of('coaching', (line, { text, quantity }) => ({
      cutter: text(line, 'cutter'),
      item: text(line, 'item'),
      habit: text(line, 'habit'),
      coachedOn: quantity(line, 'coached_on'),
      by: text(line, 'by'),
    })),
  };
};
