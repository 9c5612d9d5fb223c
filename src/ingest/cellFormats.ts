import type { SenderEntry } from '../catalog/chain.ts';

/**
 * How a file writes numbers and dates; decided once a file, never per row. `isMixed`: a few cells use the other decimal
 * mark, so a mark that could group thousands is not taken for one.
 */
export type CellFormats = { decimal: '.' | ','; dates: 'ymd' | 'mdy' | 'dmy'; isMixed: boolean };
/** Where a cell stands. */
export type CellAt = { field: string; sourceLine: number; byteOffset: number };
export type Undecided = CellAt & { code: 'decimal-ambiguous' | 'date-order-ambiguous'; found: string };

type Seen = CellAt & { count: number; found: string };
type See = (cell: string, field: string, at: Omit<CellAt, 'field'>) => void;
/** What a file's cells show about its formats, counted over all of them. */
export type FormatEvidence = {
  numbers: See;
  dates: See;
  decide: (pinned: Pick<SenderEntry, 'decimal' | 'dates'>) => CellFormats | Undecided;
};

type Mark = 'dot' | 'comma' | 'eitherDot' | 'eitherComma';

/** One mark is believed against the other when it is seen this many times as often. */
const clearMajority = 20;
const numberLike = /^[-+]?[\d.,' \u00a0\u202f\u2019]+$/;

/** What one cell says of the decimal mark: decisive for dot or comma, or readable both ways; '' when it has no mark. */
const markOf = (text: string): Mark | '' => {
  const dot = text.indexOf('.');
  const comma = text.indexOf(',');
  if ((dot < 0 && comma < 0) || !numberLike.test(text)) return '';
  if (dot >= 0 && comma >= 0) return text.lastIndexOf('.') > text.lastIndexOf(',') ? 'dot' : 'comma';
  const [mark, at] = dot >= 0 ? (['.', dot] as const) : ([',', comma] as const);
  if (text.indexOf(mark, at + 1) >= 0) return mark === '.' ? 'comma' : 'dot';
  const mayGroup = text.length - at === 4 && /^[-+]?[1-9]\d{0,2}[.,]\d{3}$/.test(text);
  if (mayGroup) return mark === '.' ? 'eitherDot' : 'eitherComma';
  return mark === '.' ? 'dot' : 'comma';
};

/** Two short parts and a year, midnight behind it or not: parts 1, 3 and 4. */
export const shortDate = /^(\d{1,2})([./-])(\d{1,2})\2(\d{4})(?: (?:0?0:00(?::00)?|12:00(?::00)? ?AM))?$/i;

/** What one date says of the order; '' when it is not a date of two short parts and a year, or reads the same both ways. */
const orderOf = (text: string): 'dmy' | 'mdy' | 'either' | '' => {
  const parts = shortDate.exec(text);
  const [first, second] = [Number(parts?.[1] ?? 0), Number(parts?.[3] ?? 0)];
  if (first === 0 || second === 0 || first > 31 || second > 31 || first === second) return '';
  if (first > 12) return second > 12 ? '' : 'dmy';
  return second > 12 ? 'mdy' : 'either';
};

/** A counter for one file. */
export const formatEvidence = (): FormatEvidence => {
  const marks = new Map<Mark, Seen>();
  const orders = new Map<'dmy' | 'mdy' | 'either', Seen>();
  const count = <Kind>(seen: Map<Kind, Seen>, kind: Kind, found: string, at: CellAt): void => {
    const before = seen.get(kind);
    if (before === undefined) seen.set(kind, { ...at, count: 1, found });
    else before.count++;
  };
  return {
    numbers: (cell, field, { sourceLine, byteOffset }) => {
      const mark = markOf(cell.trim());
      if (mark !== '') count(marks, mark, cell, { field, sourceLine, byteOffset });
    },
    dates: (cell, field, { sourceLine, byteOffset }) => {
      const order = orderOf(cell.trim());
      if (order !== '') count(orders, order, cell, { field, sourceLine, byteOffset });
    },
    decide: (pinned) => {
      const decimal = decimalOf(marks, pinned.decimal);
      if ('code' in decimal) return decimal;
      const dates = datesOf(orders, pinned.dates);
      return typeof dates === 'string' ? { ...decimal, dates } : dates;
    },
  };
};

const undecided = (code: Undecided['code'], { count: _, ...seen }: Seen): Undecided => ({ code, ...seen });

const decimalOf = (
  marks: ReadonlyMap<Mark, Seen>,
  pinned: '.' | ',' | undefined,
): Pick<CellFormats, 'decimal' | 'isMixed'> | Undecided => {
  if (pinned !== undefined) return { decimal: pinned, isMixed: false };
  const of = (mark: Mark): number => marks.get(mark)?.count ?? 0;
  const [more, less] = of('dot') >= of('comma') ? (['dot', 'comma'] as const) : (['comma', 'dot'] as const);
  const eitherOfOther = more === 'dot' ? 'eitherComma' : 'eitherDot';
  const isClear =
    of(more) > 0 && of(more) >= clearMajority * of(less) && of(eitherOfOther) <= clearMajority * of(more);
  if (isClear) return { decimal: more === 'dot' ? '.' : ',', isMixed: of(less) > 0 };
  const doubt =
    marks.get(less) ?? marks.get(eitherOfOther) ?? marks.get('eitherDot') ?? marks.get('eitherComma');
  return doubt === undefined ? { decimal: '.', isMixed: false } : undecided('decimal-ambiguous', doubt);
};

const datesOf = (
  orders: ReadonlyMap<'dmy' | 'mdy' | 'either', Seen>,
  pinned: CellFormats['dates'] | undefined,
): CellFormats['dates'] | Undecided => {
  if (pinned !== undefined) return pinned;
  const [dmy, mdy, either] = [orders.get('dmy'), orders.get('mdy'), orders.get('either')];
  if (dmy !== undefined && mdy !== undefined) {
    const rarer = dmy.count < mdy.count ? dmy : mdy;
    return undecided('date-order-ambiguous', rarer);
  }
  if (dmy !== undefined) return 'dmy';
  if (mdy !== undefined) return 'mdy';
  return either === undefined ? 'ymd' : undecided('date-order-ambiguous', either);
};
