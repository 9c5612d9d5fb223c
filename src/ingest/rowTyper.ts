import type { CellFormats } from './cellFormats.ts';
import { fileFault } from './fileFault.ts';
import type { Cell, CellPlace, Delivery, Reject, SchemaField } from './ingested.ts';
import type { DelimitedRecord } from './splitRecords.ts';
import { type CellFault, type TypedCell, typedCell } from './typedCell.ts';

/** Fields that differ between the rows of one test; all others tell about the test. */
const ownFields = new Set(['output', 'output_weight', 'pieces', 'note']);
const weightOfOutput: SchemaField = { name: 'output_weight', type: 'number', constraints: { minimum: 0 } };

/** One field to read from each record: the cell's column (-1: not sent) and the sender's default. */
type Step = {
  name: string;
  field: SchemaField;
  isWeight: boolean;
  column: number;
  fallback: string;
  place: CellPlace;
};
/** With the last cell of the column as sent and as typed, and texts of it that were typed before. */
type RememberedStep = Step & { raw: string; typed: TypedCell; texts: Map<string, TypedCell> };
const mostTexts = 1000;

export type TypedRecord = { shared: readonly Cell[]; own: readonly Cell[]; faults: Reject[] };
export type RowTyper = {
  places: ReadonlyMap<string, CellPlace>;
  wideOutputs: string[];
  /** The record as typed values, with a fault per cell that is not what its column holds. */
  typed: (record: DelimitedRecord) => TypedRecord;
};

const stepsOf = (delivery: Delivery, targets: readonly string[]): Step[] => {
  const isWide = delivery.sender.layout === 'wide';
  const defaults = new Map<string, string>(Object.entries(delivery.sender.defaults));
  const ofOutput = new Set(['output', 'output_weight', 'pieces']);
  const fields = delivery.fields.filter((field) => !isWide || !ofOutput.has(field.name));
  const wide = targets.filter((target) => target.startsWith('wide:'));
  const counts = { own: 0, shared: 0 };
  const step = (name: string, field: SchemaField): Step => {
    const isOwn = ownFields.has(name) || name.startsWith('wide:');
    const at = isOwn ? counts.own++ : counts.shared++;
    const column = targets.indexOf(name);
    return {
      name,
      field,
      isWeight: field.name.endsWith('weight'),
      column,
      fallback: defaults.get(name) ?? '',
      place: { isOwn, at },
    };
  };
  return [
    ...fields.map((field) => step(field.name, field)),
    ...wide.map((name) => step(name, { ...weightOfOutput, name: 'output_weight' })),
  ];
};

/**
 * Types records of one file. A cell that reads like the one above it is not typed again, and rows that send the same test
 * fields share one array: this is what makes long files quick and small.
 */
export const rowTyper = (
  delivery: Delivery,
  targets: readonly string[],
  setting: { formats: CellFormats; asOfDay: number },
): RowTyper => {
  const steps = stepsOf(delivery, targets);
  const unitFirst = steps
    .map((step): RememberedStep => ({ ...step, raw: '\u0000', typed: { value: '' }, texts: new Map() }))
    .sort((a, b) => Number(b.name === 'unit') - Number(a.name === 'unit'));
  const ownLength = steps.filter((step) => step.place.isOwn).length;
  const unitStep = unitFirst[0]?.name === 'unit' ? unitFirst[0] : undefined;
  const ofRow = { ...setting, unit: '' };
  let shared: Cell[] = [];
  const cellOf = (step: RememberedStep, raw: string, isUnitSame: boolean): TypedCell => {
    const { field, isWeight } = step;
    if (step.raw === raw && (!isWeight || isUnitSame)) return step.typed;
    const cell = field.type === 'string' ? knownText(raw, field, step.texts) : typedCell(raw, field, ofRow);
    step.raw = raw;
    step.typed = cell;
    return cell;
  };
  /** Few texts return again and again: each is checked once, and kept once. */
  const knownText = (raw: string, field: SchemaField, texts: Map<string, TypedCell>): TypedCell => {
    const known = texts.get(raw);
    if (known !== undefined) return known;
    const cell = typedCell(raw, field, ofRow);
    if (texts.size < mostTexts) texts.set(raw, cell);
    return cell;
  };
  const ofRowAlone = unitFirst.filter((step) => step.place.isOwn);
  const lastShared = Math.max(-1, ...steps.map((step) => (step.place.isOwn ? -1 : step.column)));
  let sharedFrom: readonly string[] | undefined;
  const isSharedKnown = ({ taken, from }: DelimitedRecord): boolean =>
    taken > lastShared && from === sharedFrom;
  const typed = (record: DelimitedRecord): TypedRecord => {
    const own: Cell[] = new Array(ownLength);
    const faults: Reject[] = [];
    const unitAbove = ofRow.unit;
    const toType = isSharedKnown(record) ? ofRowAlone : unitFirst;
    let next = shared;
    for (const step of toType) {
      const raw = rawOf(step, record.cells);
      const cell = cellOf(step, raw, ofRow.unit === unitAbove);
      const value = 'value' in cell ? cell.value : faulty(cell, step, raw, { record, delivery, faults });
      if (step.place.isOwn) own[step.place.at] = value;
      else next = withCell(next, shared, step.place.at, value);
      if (step === unitStep) ofRow.unit = String(value);
    }
    if (toType === unitFirst) sharedFrom = faults.length === 0 ? record.from : undefined;
    shared = next;
    return { shared, own, faults };
  };
  const wideOutputs = targets
    .filter((target) => target.startsWith('wide:'))
    .map((target) => target.slice('wide:'.length));
  return {
    places: new Map(steps.map((step) => [step.name, step.place])),
    wideOutputs,
    typed,
  };
};

/** `cells` with one changed: itself when nothing changes, a copy of `above` at the first change, then the copy. */
const withCell = (cells: Cell[], above: readonly Cell[], at: number, value: Cell): Cell[] => {
  if (Object.is(cells[at], value)) return cells;
  const next = cells === above ? [...cells] : cells;
  next[at] = value;
  return next;
};

const rawOf = ({ column, fallback }: Step, cells: readonly string[]): string => {
  const sent = column < 0 ? '' : (cells[column] ?? '');
  return fallback !== '' && sent.trim() === '' ? fallback : sent;
};

const faulty = (
  fault: CellFault,
  { name, field }: Step,
  raw: string,
  where: { record: DelimitedRecord; delivery: Delivery; faults: Reject[] },
): Cell => {
  where.faults.push(
    fileFault(where.delivery.path, fault.code, {
      sourceLine: where.record.sourceLine,
      byteOffset: where.record.byteOffset,
      field: name.replace('wide:', ''),
      found: raw.slice(0, 200),
      expected: fault.expected,
    }),
  );
  return field.type === 'string' ? '' : Number.NaN;
};
