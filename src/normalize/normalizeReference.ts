import type { Chain } from '../catalog/chain.ts';
import type { IngestedTable, TypedLine } from '../ingest/ingested.ts';
import { kgPerLb, kilogramsPer } from '../units/weight.ts';
import { cellReaders } from './cellReaders.ts';
import type { ReferenceTables } from './normalized.ts';

type Reader<Value> = (line: TypedLine, name: string) => Value;
type Readers = { text: Reader<string>; quantity: Reader<number>; perKg: Reader<number> };

/** Reference rows in kg and per kg, by table name; a table that was not sent is empty. Scale divisions are in the chain's unit. */
export const normalizeReference = (
  tables: ReadonlyMap<string, Pick<IngestedTable, 'lines' | 'places' | 'wideOutputs'>>,
  chain: Chain,
): ReferenceTables => {
  const chainUnitKg = chain.unit === 'lb' ? kgPerLb : 1;
  const of = <Row>(name: string, row: (line: TypedLine, readers: Readers) => Row): Row[] => {
    const table = tables.get(name);
    if (table === undefined) return [];
    const { text, quantity } = cellReaders(table);
    const perKg: Reader<number> = (line, column) => quantity(line, column) / kilogramsPer(text(line, 'unit'));
    return table.lines.map((line) => row(line, { text, quantity, perKg }));
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
