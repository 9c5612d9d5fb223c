/** How a file writes numbers and dates; decided once a file, never per row. */
export type CellFormats = { decimal: '.' | ','; dates: 'ymd' | 'mdy' | 'dmy' };
export type FormatDecision = { decimal: '.' | ',' | 'ambiguous'; dates: 'ymd' | 'mdy' | 'dmy' | 'ambiguous' };

const marksOf = (cell: string): '.' | ',' | 'either' | 'none' => {
  const text = cell.trim();
  const dot = text.lastIndexOf('.');
  const comma = text.lastIndexOf(',');
  if (dot < 0 && comma < 0) return 'none';
  if (dot >= 0 && comma >= 0) return dot > comma ? '.' : ',';
  const mark = dot >= 0 ? '.' : ',';
  if (text.split(mark).length > 2) return mark === '.' ? ',' : '.';
  return /^[-+]?[1-9]\d{0,2}[.,]\d{3}$/.test(text) ? 'either' : mark;
};

const decimalOf = (cells: readonly string[]): FormatDecision['decimal'] => {
  const marks = new Set(cells.map(marksOf));
  if (marks.has('.') && marks.has(',')) return 'ambiguous';
  if (marks.has(',')) return ',';
  if (marks.has('.')) return '.';
  return marks.has('either') ? 'ambiguous' : '.';
};

const datesOf = (cells: readonly string[]): FormatDecision['dates'] => {
  let first = 0;
  let second = 0;
  let slashed = false;
  for (const cell of cells) {
    const parts = /^(\d{1,2})[./-](\d{1,2})[./-]\d{4}$/.exec(cell.trim());
    if (parts === null) continue;
    slashed = true;
    first = Math.max(first, Number(parts[1]));
    second = Math.max(second, Number(parts[2]));
  }
  if (!slashed) return 'ymd';
  if (first > 12 && second > 12) return 'ambiguous';
  if (first > 12) return 'dmy';
  return second > 12 ? 'mdy' : 'ambiguous';
};

/** Reads the number and date formats off the file's own cells where the sender does not pin them. */
export const cellFormats = (
  numberCells: readonly string[],
  dateCells: readonly string[],
  pinned: Partial<CellFormats>,
): FormatDecision => ({
  decimal: pinned.decimal ?? decimalOf(numberCells),
  dates: pinned.dates ?? datesOf(dateCells),
});
