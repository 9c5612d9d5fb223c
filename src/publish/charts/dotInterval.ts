import type { TopLevelSpec } from 'vega-lite';
import { type ChartSize, chartBase, colors, plotWidth } from './chartConfig.ts';

/** One row of a dot-and-interval chart; rows of one `group` stand together under its name. */
export type DotRow = { label: string; value: number; low: number; high: number; group?: string };
export type DotAbout = {
  xTitle: string;
  reference: number;
  dense?: boolean;
  /** One range of values for all of a figure's drawings. */
  domain?: readonly [number, number] | undefined;
};

/** Labels up to this length stand beside their lines on narrow drawings too. */
const shortLabel = 10;
/** Between group and label in the key of a row; never part of a text that is shown. */
const mark = '\u0001';

type KeyedRow = DotRow & { key: string };
type GroupHead = { key: string; group: string };

/**
 * Where each value lies and how sure we are: dots on lines, one row a label in the order given, a dashed rule at
 * `reference`. Rows whose interval leaves the reference out are dark, the others calm. On narrow drawings a long label
 * stands above its line. `dense` draws a caterpillar of many rows.
 */
export const dotInterval = (rows: readonly DotRow[], about: DotAbout, size: ChartSize): TopLevelSpec => {
  const isNarrow = size === 'narrow';
  const isAbove = isNarrow && !(rows.length > 0 && rows.every((row) => row.label.length <= shortLabel));
  const { keyed, heads, order } = keyedRows(rows);
  const y = {
    field: order.length === 0 ? 'label' : 'key',
    type: 'nominal',
    sort: null,
    title: null,
    scale: { padding: 0.2, ...(order.length === 0 ? {} : { domain: order }) },
    axis: isAbove ? null : yAxis(heads.length > 0),
  };
  const shift = isAbove ? { yOffset: 6 } : {};
  const clear = `datum.low > ${about.reference} || datum.high < ${about.reference}`;
  const color = { condition: { test: clear, value: colors.main }, value: colors.calm };
  const layer: object[] = [
    {
      data: { values: [{}] },
      mark: { type: 'rule', strokeDash: [4, 3], color: colors.soft },
      encoding: {
        x: { datum: about.reference, type: 'quantitative' },
        y: { value: 0 },
        y2: { value: 'height' },
      },
    },
    {
      mark: { type: 'rule', strokeWidth: 2.5, strokeCap: 'round', ...shift },
      encoding: {
        y,
        x: {
          field: 'low',
          type: 'quantitative',
          title: about.xTitle,
          scale: { zero: false, nice: true, ...(about.domain === undefined ? {} : { domain: about.domain }) },
          axis: { tickCount: isNarrow ? 4 : 7 },
        },
        x2: { field: 'high' },
        color,
      },
    },
    {
      mark: { type: 'point', filled: true, size: about.dense === true ? 46 : 80, opacity: 1, ...shift },
      encoding: { y, x: { field: 'value', type: 'quantitative' }, color },
    },
    ...(isAbove ? labelsAbove(y, heads) : []),
  ];
  return {
    ...chartBase,
    width: plotWidth[size],
    height: { step: (about.dense === true ? 17 : 26) + (isAbove ? 14 : 0) },
    data: { name: 'rows', values: keyed },
    layer,
  } as TopLevelSpec;
};

/** Rows with a key of their own, the heads of their groups, and the keys of both from top to bottom ([] without groups). */
const keyedRows = (rows: readonly DotRow[]): { keyed: KeyedRow[]; heads: GroupHead[]; order: string[] } => {
  const headOf = (group: string): string => `${group}${mark}`;
  const keyed = rows.map((row) => ({
    ...row,
    key: row.group === undefined ? row.label : `${headOf(row.group)}${row.label}`,
  }));
  const groups = [...new Set(rows.map((row) => row.group))].filter((group) => group !== undefined);
  return {
    keyed,
    heads: groups.map((group) => ({ key: headOf(group), group })),
    order: groups.flatMap((group) => [
      headOf(group),
      ...keyed.filter((row) => row.group === group).map((row) => row.key),
    ]),
  };
};

/** The labels beside the lines; names of groups stand out. */
const yAxis = (isGrouped: boolean): object => {
  // a line that begins at the edge keeps clear of its label
  const plain = { grid: false, labelColor: colors.ink, offset: 10 };
  if (!isGrouped) return plain;
  const part = (i: number): string => `split(datum.value, '${mark}')[${i}]`;
  return {
    ...plain,
    labelExpr: `${part(1)} || ${part(0)}`,
    labelFontWeight: { condition: { test: `!${part(1)}`, value: 'bold' }, value: 'normal' },
  };
};

/** Labels above the lines, on a halo of the card's color so that the dashed rule never crosses a letter. */
const labelsAbove = (y: object, heads: readonly GroupHead[]): object[] => {
  const text = { type: 'text', align: 'left', dx: 3, dy: -6, limit: plotWidth.narrow };
  const halo = { ...text, color: colors.card, stroke: colors.card, strokeWidth: 4 };
  const encoding = { y, x: { value: 0 }, text: { field: 'label' } };
  const labels = [
    { mark: halo, encoding },
    { mark: text, encoding },
  ];
  const head = {
    data: { name: 'heads', values: heads },
    encoding: { y, x: { value: 0 }, text: { field: 'group' } },
    layer: [halo, text].map((mark) => ({ mark: { ...mark, dx: 0, dy: 6, fontWeight: 'bold' } })),
  };
  return heads.length === 0 ? labels : [...labels, head];
};
