import { csvText } from './csvText.ts';

/** What a number counts or measures. `weight` and `money/weight` are held per kg and printed in the chain's unit. */
export type ColumnUnit =
  | ''
  | 'weight'
  | 'money'
  | 'money/weight'
  | 'fraction'
  | 'points'
  | '%'
  | 'minutes'
  | 'tests'
  | 'rows'
  | 'money/hour';

/** One column of a results file: its name in the contract, type, unit and meaning, and its value in a row (NaN = missing). */
export type ResultsColumn<Row> = {
  name: string;
  type: 'string' | 'number' | 'integer' | 'date' | 'boolean';
  unit: ColumnUnit;
  description: string;
  value: (row: Row, unitKg: number) => string | number | boolean;
};

/** One results file: rows are told apart by `key`, in whose order they stand where nothing else is said. */
export type ResultsFile<Row> = {
  name: string;
  description: string;
  key: readonly string[];
  columns: readonly ResultsColumn<Row>[];
};

/** The chain's unit of weight with its kilograms, and currency. */
export type ResultsUnits = { unit: string; unitKg: number; currency: string };

export type WrittenFile = {
  name: string;
  text: string;
  /** Table Schema of the file and what it holds, for datapackage.json. */
  resource: object;
};

/** A column of texts, numbers of a unit, counts, days or truths. */
export const column = {
  text: <Row>(name: string, description: string, value: (row: Row) => string): ResultsColumn<Row> => ({
    name,
    type: 'string',
    unit: '',
    description,
    value,
  }),
  date: <Row>(name: string, description: string, value: (row: Row) => string): ResultsColumn<Row> => ({
    name,
    type: 'date',
    unit: '',
    description,
    value,
  }),
  truth: <Row>(name: string, description: string, value: (row: Row) => boolean): ResultsColumn<Row> => ({
    name,
    type: 'boolean',
    unit: '',
    description,
    value,
  }),
  count: <Row>(
    name: string,
    unit: ColumnUnit,
    description: string,
    value: (row: Row) => number,
  ): ResultsColumn<Row> => ({ name, type: 'integer', unit, description, value }),
  number: <Row>(
    name: string,
    unit: ColumnUnit,
    description: string,
    value: (row: Row, unitKg: number) => number,
  ): ResultsColumn<Row> => ({ name, type: 'number', unit, description, value }),
};

/** The file's CSV text and its Table Schema; weights and prices per weight are turned into the chain's unit here alone. */
export const writtenFile = <Row>(
  file: ResultsFile<Row>,
  rows: readonly Row[],
  units: ResultsUnits,
): WrittenFile => ({
  name: `${file.name}.csv`,
  text: csvText(
    rows,
    file.columns.map(({ name, unit, value }) => [
      name,
      (row) => inChainUnit(value(row, units.unitKg), unit, units.unitKg),
    ]),
  ),
  resource: {
    name: file.name,
    path: `${file.name}.csv`,
    description: file.description,
    format: 'csv',
    mediatype: 'text/csv',
    encoding: 'utf-8',
    dialect: { lineTerminator: '\r\n' },
    schema: {
      fields: file.columns.map((one) => fieldOf(one, units)),
      missingValues: [],
      ...(file.key.length === 0 ? {} : { primaryKey: file.key }),
    },
  },
});

const inChainUnit = (value: string | number | boolean, unit: ColumnUnit, unitKg: number): string | number => {
  if (typeof value === 'boolean') return String(value);
  if (typeof value === 'string') return value;
  if (unit === 'weight') return value / unitKg;
  return unit === 'money/weight' ? value * unitKg : value;
};

const unitText = (unit: ColumnUnit, { unit: weight, currency }: ResultsUnits): string =>
  unit.replace('money', currency).replace('weight', weight);

/** In texts '' is a value (all, or none); in numbers and days it is a missing one. */
const fieldOf = <Row>(
  { name, type, unit, description }: ResultsColumn<Row>,
  units: ResultsUnits,
): object => ({
  name,
  type,
  ...(unit === '' ? {} : { unit: unitText(unit, units) }),
  description,
  ...(type === 'string' || type === 'boolean' ? {} : { missingValues: [''] }),
});
