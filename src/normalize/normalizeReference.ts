import type { Chain } from '../catalog/chain.ts';
import type { TypedLine } from '../ingest/ingested.ts';
import { kgPerLb, kilogramsPer } from '../units/weight.ts';
import type { ReferenceTables } from './normalized.ts';

const text = (line: TypedLine, name: string): string => String(line.values[name] ?? '');
const quantity = (line: TypedLine, name: string): number =>
  typeof line.values[name] === 'number' ? (line.values[name] as number) : Number.NaN;
const perKg = (line: TypedLine, name: string): number =>
  quantity(line, name) / kilogramsPer(text(line, 'unit'));

/** Reference rows in kg and per kg. `lines` by table name; a table that was not sent is empty. Scale divisions are in the chain's unit. */
export const normalizeReference = (lines: Record<string, TypedLine[]>, chain: Chain): ReferenceTables => {
  const chainUnitKg = chain.unit === 'lb' ? kgPerLb : 1;
  const of = <Row>(name: string, row: (line: TypedLine) => Row): Row[] => (lines[name] ?? []).map(row);
  return {
    prices: of('prices', (line) => ({
      output: text(line, 'output'),
      pricePerKg: perKg(line, 'price'),
      validFrom: quantity(line, 'valid_from'),
      validTo: quantity(line, 'valid_to'),
      kind: text(line, 'kind'),
      region: text(line, 'region'),
      item: text(line, 'item'),
      grade: text(line, 'grade'),
    })),
    quotes: of('quotes', (line) => ({
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
    stores: of('stores', (line) => ({
      store: text(line, 'store'),
      name: text(line, 'name'),
      region: text(line, 'region'),
      scaleDivisionKg: quantity(line, 'scale_division') * chainUnitKg,
      testsOwedPerWeek: quantity(line, 'tests_owed_per_week'),
    })),
    volumes: of('volumes', (line) => ({
      store: text(line, 'store'),
      item: text(line, 'item'),
      weekOf: quantity(line, 'week_of'),
      weightKg: quantity(line, 'weight') * kilogramsPer(text(line, 'unit')),
    })),
    cutters: of('cutters', (line) => ({
      cutter: text(line, 'cutter'),
      name: text(line, 'name'),
      store: text(line, 'store'),
      since: quantity(line, 'since'),
    })),
    standards: of('standards', (line) => ({
      item: text(line, 'item'),
      method: text(line, 'method'),
      output: text(line, 'output'),
      yieldFraction: quantity(line, 'yield'),
      validFrom: quantity(line, 'valid_from'),
    })),
    coaching: of('coaching', (line) => ({
      cutter: text(line, 'cutter'),
      item: text(line, 'item'),
      habit: text(line, 'habit'),
      coachedOn: quantity(line, 'coached_on'),
      by: text(line, 'by'),
    })),
  };
};
