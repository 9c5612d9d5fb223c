import type { Chain } from '../catalog/chain.ts';
import { bodyRecords } from './bodyRecords.ts';
import { type CellFormats, type FormatEvidence, formatEvidence } from './cellFormats.ts';
import { type Dialect, dialectOf } from './dialectOf.ts';
import { encodingOf } from './encodingOf.ts';
import { fileFault } from './fileFault.ts';
import { fileKind } from './fileKind.ts';
import { fileNameProblem } from './fileNameProblem.ts';
import { plainHeader } from './headerMap.ts';
import type { Cell, Delivery, IngestedTable, RefusedRow, Reject, TypedLines } from './ingested.ts';
import { mendedLines } from './mendedLines.ts';
import { type RowTyper, rowTyper, type TypedRecord } from './rowTyper.ts';
import type { DelimitedRecord } from './splitRecords.ts';
import { storesNamed } from './storesNamed.ts';
import { unreadWeights } from './unreadWeights.ts';

type Setting = { limits: Chain['limits']; asOfDay: number };

/** One delivered file to typed lines and rejects. Never throws for what is in the file; a file in doubt is quarantined. */
export const ingest = (delivery: Delivery, setting: Setting): IngestedTable => {
  const { bytes, path, sender } = delivery;
  const size = delivery.size ?? bytes.byteLength;
  if (size > setting.limits.file_mb * 1e6)
    return quarantined(
      delivery,
      fileFault(path, 'limit-exceeded', {
        found: `${size} bytes`,
        expected: `at most ${setting.limits.file_mb} MB`,
      }),
    );
  const unfit = fileNameProblem(path);
  if (unfit !== undefined) return quarantined(delivery, fileFault(path, 'file-name', unfit));
  const kind = fileKind(path, bytes);
  if (kind !== '')
    return quarantined(delivery, fileFault(path, 'file-type', { found: kind, expected: 'a CSV file' }));
  const encoding = encodingOf(bytes, sender.encoding);
  if (encoding === undefined)
    return quarantined(
      delivery,
      fileFault(path, 'encoding-invalid', {
        expected: sender.encoding ?? 'UTF-8, UTF-16 with its mark, or Windows-1252',
      }),
    );
  const dialect = dialectOf(delivery, encoding, setting.limits);
  if ('reject' in dialect) {
    const table = { ...quarantined(delivery, dialect.reject), header: dialect.header };
    return dialect.stores.length === 0 ? table : { ...table, stores: dialect.stores };
  }
  return tableOf(delivery, dialect, setting);
};

/**
 * The body typed by the formats that the sender pins or the first rows show. All cells of the file decide in the end: where
 * they show other formats the body is typed again, and where they can be read in two ways the file is refused.
 */
const tableOf = (delivery: Delivery, dialect: Dialect, setting: Setting): IngestedTable => {
  const { decimal, dates } = delivery.sender;
  if (decimal !== undefined && dates !== undefined)
    return typedBody(delivery, dialect, { decimal, dates, isMixed: false }, setting, () => {});
  const first = seenFormats(delivery, dialect);
  for (const record of dialect.sample)
    if (record.cells.length === dialect.header.cells.length) first.see(record);
  const guess = first.decide();
  const whole = seenFormats(delivery, dialect);
  const formats = 'code' in guess ? ({ decimal: '.', dates: 'ymd', isMixed: false } as const) : guess;
  const table = typedBody(delivery, dialect, formats, setting, whole.see);
  if (table.state === 'quarantined') return table;
  const decided = whole.decide();
  if ('code' in decided) {
    const { code, ...at } = decided;
    const what = code === 'decimal-ambiguous' ? 'numbers' : 'dates';
    const expected = `${what} that can be read in one way`;
    return {
      ...quarantined(delivery, fileFault(delivery.path, code, { ...at, expected })),
      stores: table.stores,
    };
  }
  const isAsGuessed =
    decided.decimal === formats.decimal &&
    decided.dates === formats.dates &&
    decided.isMixed === formats.isMixed;
  return isAsGuessed ? table : typedBody(delivery, dialect, decided, setting, () => {});
};

/** Nothing of a quarantined file is used; each of its lines after the header counts as refused. */
const quarantined = ({ bytes, sender }: Delivery, reject: Reject): IngestedTable => ({
  state: 'quarantined',
  header: [],
  delimiter: ',',
  formats: { decimal: '.', dates: 'ymd' },
  places: new Map(),
  wideOutputs: [],
  lines: { own: [], shared: [], runs: [], sourceLine: [], byteOffset: [] },
  rejects: [reject],
  refused: [],
  stores: sender.defaults.store === undefined ? [] : [sender.defaults.store],
  rowsRead: Math.max(0, lineCount(bytes) - 1),
  blank: 0,
  ignored: 0,
});

/** Physical lines of a file, by byte 0A; a last line without an end counts. */
const lineCount = (bytes: Uint8Array): number => {
  let count = bytes.length > 0 && bytes.at(-1) !== 0x0a ? 1 : 0;
  for (let at = bytes.indexOf(0x0a); at >= 0; at = bytes.indexOf(0x0a, at + 1)) count++;
  return count;
};

/** What the numbers and dates of records show about the formats of the file. */
const seenFormats = (
  delivery: Delivery,
  dialect: Dialect,
): { see: (record: DelimitedRecord) => void; decide: () => ReturnType<FormatEvidence['decide']> } => {
  const typeOf = new Map<string, string>(delivery.fields.map((field) => [field.name, field.type]));
  const columns = dialect.map.targets.flatMap((target, column) => {
    const type = target.startsWith('wide:') ? 'number' : typeOf.get(target);
    return type === 'number' || type === 'date'
      ? [{ column, field: target.replace('wide:', ''), isDate: type === 'date', above: '' }]
      : [];
  });
  const evidence = formatEvidence();
  let from: readonly string[] | undefined;
  return {
    see: (record) => {
      // cells taken over from a row were seen in it
      const first = record.from === from ? record.taken : 0;
      from = record.from;
      for (const one of columns) {
        const cell = record.cells[one.column] as string;
        if (one.column < first || cell === one.above) continue;
        one.above = cell;
        if (one.isDate) evidence.dates(cell, one.field, record);
        else evidence.numbers(cell, one.field, record);
      }
    },
    decide: () => evidence.decide(delivery.sender),
  };
};

const typedBody = (
  delivery: Delivery,
  dialect: Dialect,
  formats: CellFormats,
  setting: Setting,
  see: (record: DelimitedRecord) => void,
): IngestedTable => {
  const typer = rowTyper(delivery, dialect.map.targets, { formats, asOfDay: setting.asOfDay });
  const keys = keysIn(delivery, dialect, typer);
  const kept = keptLines();
  const mended = mendedLines(delivery.path, dialect.header.cells);
  const unread = unreadWeights(delivery, dialect.header, dialect.known);
  const table = {
    ...quarantined({ ...delivery, bytes: new Uint8Array() }, fileFault(delivery.path, 'header-unknown', {})),
    state: 'ingested' as const,
    header: dialect.header.cells,
    delimiter: dialect.delimiter,
    formats: { decimal: formats.decimal, dates: formats.dates },
    places: typer.places,
    wideOutputs: typer.wideOutputs,
    mendedLines: mended.lines,
    lines: kept.lines,
    rejects: [] as Reject[],
  };
  const fault = bodyRecords(delivery, dialect, setting.limits, (body) => {
    table.rowsRead++;
    const { record } = body;
    if (body.kind === 'blank') table.blank++;
    else if (body.kind === 'ignored') table.ignored++;
    else if (body.kind === 'refused') {
      const { code, found, expected } = body;
      mended.see(record);
      const { sourceLine, byteOffset } = record;
      table.rejects.push(fileFault(delivery.path, code, { sourceLine, byteOffset, found, expected }));
      table.refused.push(keys.ofRecord(record));
    } else {
      see(record);
      mended.see(record);
      unread.see(record);
      const { shared, own, faults } = typer.typed(record);
      if (faults.length === 0) kept.add({ shared, own }, record);
      else {
        for (const one of faults) table.rejects.push(one);
        table.refused.push(keys.ofTyped(record, { shared, own, faults }));
      }
    }
  });
  const stores = storesNamed(table, delivery.sender.defaults.store);
  const reject = fault ?? unread.doubt();
  return { ...(reject === undefined ? table : quarantined(delivery, reject)), stores };
};

/** Typed rows as they are gathered: rows that share the array of their test's fields are a run. */
const keptLines = () => {
  const lines: TypedLines = { own: [], shared: [], runs: [], sourceLine: [], byteOffset: [] };
  let run = -1;
  let above: readonly Cell[] | undefined;
  const push = (columns: Cell[][], cells: readonly Cell[]): void => {
    while (columns.length < cells.length) columns.push([]);
    for (let at = 0; at < cells.length; at++) columns[at]?.push(cells[at] as Cell);
  };
  const add = (
    { shared, own }: Pick<TypedRecord, 'shared' | 'own'>,
    { sourceLine, byteOffset }: DelimitedRecord,
  ): void => {
    if (shared !== above) {
      push(lines.shared, shared);
      run++;
    }
    above = shared;
    push(lines.own, own);
    lines.runs.push(run);
    lines.sourceLine.push(sourceLine);
    lines.byteOffset.push(byteOffset);
  };
  return { lines, add };
};

/** Fewest filled cells of a row that could be an output of a test; a line with fewer is a stray title or total. */
const fewestCells = 3;
/** Filled cells of a row, also where it has other marks between its cells than the file. */
const filledCells = ({ cells }: DelimitedRecord): number =>
  cells.flatMap((cell) => cell.split(/[,;\t|]/)).filter((text) => text.trim() !== '').length;
/** Cells that may be wrong in a row whose key is still believed; with more, its cells may stand in the wrong columns. */
const mostSlips = 1;

/** Which test a refused row belongs to, and whether that is certain. In the wide layout no row can rob another test. */
const keysIn = (delivery: Delivery, { map }: Dialect, { places }: RowTyper) => {
  const columnOf = (name: string): number => map.targets.indexOf(name);
  const [store, test, output, weight] = ['store', 'test_id', 'output', 'output_weight'].map(columnOf) as [
    number,
    number,
    number,
    number,
  ];
  const isWide = delivery.sender.layout === 'wide' || test < 0;
  const width = map.targets.length;
  const ofTest = delivery.fields
    .filter((field) => field.constraints?.required && field.name !== 'output')
    .map((field) => columnOf(field.name));
  const cell = (record: DelimitedRecord, column: number): string => (record.cells[column] ?? '').trim();
  const outputs = new Set(
    [
      ...(delivery.outputs ?? []).flatMap((one) => [one.output, ...one.aliases]),
      ...Object.keys(delivery.sender.codes.output),
    ].map(plainHeader),
  );
  const isOutput = (text: string): boolean => outputs.has(plainHeader(text));
  /** A total or a remark: nearly empty whatever its mark, or of no output and with little about a test. */
  const isStray = (record: DelimitedRecord): boolean =>
    (record.fault === '' && filledCells(record) < fewestCells && !isOutput(cell(record, output))) ||
    (record.cells.length === width &&
      cell(record, output) === '' &&
      (cell(record, weight) === '' || ofTest.filter((at) => cell(record, at) === '').length > 1));
  const ofRecord = (record: DelimitedRecord): RefusedRow => ({
    sourceLine: record.sourceLine,
    storeAndTest: `${cell(record, store) || (delivery.sender.defaults.store ?? '')}\u0000${cell(record, test)}`,
    isSure:
      isWide ||
      isStray(record) ||
      (record.fault === 'broken' && record.cells.length - 1 > Math.max(store, test)) ||
      (record.fault === 'not-text' && /^[ -~]+$/.test(cell(record, store) + cell(record, test))),
    isGlued: record.fault === '' && record.cells.length > 1.5 * width,
    isInPlace: record.cells.length === width,
  });
  const ofTyped = (record: DelimitedRecord, { shared, faults }: TypedRecord): RefusedRow => {
    const keyCell = (name: string): string => String(shared[places.get(name)?.at ?? -1] ?? '');
    const isKeyFaulty = faults.some((one) => one.field === 'store' || one.field === 'test_id');
    return {
      sourceLine: record.sourceLine,
      storeAndTest: `${keyCell('store')}\u0000${keyCell('test_id')}`,
      isSure: isWide || (!isKeyFaulty && faults.length <= mostSlips) || isStray(record),
      isGlued: false,
      isInPlace: faults.length <= mostSlips || faults.every(({ code }) => code === faults[0]?.code),
    };
  };
  return { ofRecord, ofTyped };
};
