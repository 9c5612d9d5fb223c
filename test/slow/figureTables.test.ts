import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import type { Cell } from '../../src/publish/pages/dataTable.tsx';
import type { FigureText, Panel, SpecOf } from '../../src/publish/pages/figure.tsx';
import { nightOver, sampleFiles } from '../browser/sampleNight.ts';

type Datum = Record<string, unknown>;
type Drawn = { text: FigureText; rows: Datum[] };
const drawn: Drawn[] = vi.hoisted(() => []);

const rowsOf = (spec: { data?: unknown }): Datum[] => (spec.data as { values: Datum[] }).values;

vi.mock('../../src/publish/pages/figure.tsx', async (original) => {
  const real = await original<typeof import('../../src/publish/pages/figure.tsx')>();
  return {
    ...real,
    drawnFigure: (text: FigureText, spec: SpecOf, isSmall: boolean) => {
      drawn.push({ text, rows: text.table.rows.length === 0 ? [] : rowsOf(spec('wide')) });
      return real.drawnFigure(text, spec, isSmall);
    },
    panelFigure: (text: FigureText, panels: readonly Panel[]) => {
      drawn.push({ text, rows: panels.flatMap(({ spec }) => rowsOf(spec)) });
      return real.panelFigure(text, panels);
    },
    BrowserFigure: (given: { text: FigureText; data: { rows: readonly Datum[] } }) => {
      drawn.push({ text: given.text, rows: [...given.data.rows] });
      return real.BrowserFigure(given as unknown as Parameters<typeof real.BrowserFigure>[0]);
    },
  };
});

/** The number a cell shows and half a unit of its last digit; undefined where it shows none. */
const shownIn = (cell: Cell): { value: number; half: number } | undefined => {
  const text = (typeof cell === 'object' ? cell.text : String(cell)).replaceAll('\u2212', '-');
  const found = /^([+-]?)\$?([\d,]+)(?:\.(\d+))?(?: %)?$/.exec(text.trim());
  if (found === null) return undefined;
  const decimals = found[3]?.length ?? 0;
  const size = Number(`${(found[2] as string).replaceAll(',', '')}.${found[3] ?? '0'}`);
  return { value: found[1] === '-' ? -size : size, half: 0.5 * 10 ** -decimals };
};

const numbersOf = (datum: Datum): number[] =>
  ['value', 'low', 'high', 'difference']
    .map((field) => datum[field])
    .filter((value): value is number => typeof value === 'number' && Number.isFinite(value));

/** Numbers of a drawn row that no cell of its table row shows. */
const missing = (datum: Datum, cells: readonly Cell[]): number[] =>
  numbersOf(datum).filter(
    (value) =>
      !cells.some((cell) => {
        const shown = shownIn(cell);
        return shown !== undefined && Math.abs(shown.value - value) <= shown.half * 1.000001;
      }),
  );

describe('every figure of a whole night', () => {
  beforeAll(async () => {
    process.env['TMPDIR'] = mkdtempSync(join(tmpdir(), 'figures-'));
    await nightOver(sampleFiles());
  });

  it('is drawn from the numbers of its table, row by row', () => {
    expect(drawn.length).toBeGreaterThan(200);
    const wrong: string[] = [];
    let compared = 0;
    for (const { text, rows } of drawn) {
      if (text.title === 'What the habits may cost in a week') continue;
      const own = text.title.startsWith('Main cut against expected')
        ? rows.filter((row) => row['outside'])
        : rows;
      if (own.length !== text.table.rows.length)
        wrong.push(`${text.title}: ${own.length} drawn, ${text.table.rows.length} in the table`);
      own.forEach((datum, i) => {
        const left = missing(datum, text.table.rows[i] ?? []);
        compared += numbersOf(datum).length;
        if (left.length > 0)
          wrong.push(`${text.title} row ${i}: ${left.join(', ')} of ${text.table.rows[i]}`);
      });
    }
    console.log(`${drawn.length} figures, ${compared} numbers drawn and found in their tables`);
    expect(wrong).toEqual([]);
    expect(compared).toBeGreaterThan(5000);
  });

  it('counts as many dots in its columns as the quantile table says', () => {
    const figures = drawn.filter(({ text }) => text.title === 'What the habits may cost in a week');
    expect(figures.length).toBeGreaterThan(0);
    for (const { text, rows } of figures) {
      const counts = new Map<unknown, number>();
      for (const { bin } of rows) counts.set(bin, (counts.get(bin) ?? 0) + 1);
      expect(text.table.rows.map((row) => row[2])).toEqual([...counts.values()].map(String));
      expect(rows.length).toBe(20);
    }
  });

  it('states its unit, its number of tests and what its interval or band means', () => {
    for (const { text } of drawn) {
      expect(text.counted, text.title).toMatch(/\d/);
      expect(text.counted, text.title).toMatch(/points|%|USD|lb/);
      const marksUncertainty = /dots|95 %|One test alone/;
      expect(text.read, text.title).toMatch(marksUncertainty);
      if (text.table.columns.some(({ head }) => head === 'Low'))
        expect(text.read, text.title).toContain('95 %');
    }
  });
});
