import type { VNode } from 'preact';
import { lineBand } from '../charts/lineBand.ts';
import { weightCurve } from '../charts/weightCurve.ts';
import { Section } from './actions.tsx';
import type { BuyerView } from './buyerView.ts';
import type { CurveFigure } from './curveFigures.ts';
import { columns } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

/** How yield changes with piece weight over the ranges that can be ordered, and whether pieces get heavier. */
export const buyerRanges = async (view: BuyerView, bundle: Bundle, write: Formats): Promise<string> =>
  page(
    bundle,
    {
      title: 'Ranges',
      file: 'ranges.html',
      lead: 'Choose a range by what it yields, then by what a saleable pound of it costs.',
      basis: view.basis,
    },
    <>
      <Section
        title="Saleable yield over piece weight"
        note="Never beyond the weights seen (2-98 %); the method most used."
      >
        <div class="grid">{await Promise.all(view.curves.map((curve) => curveFigure(curve, write)))}</div>
      </Section>
      <Section
        title="Piece weight by month"
        note="Pieces that get heavier move between ranges; ask before you re-order."
      >
        <div class="grid">{await Promise.all(view.weights.map((line) => weightFigure(line, write)))}</div>
      </Section>
    </>,
  );

const curveFigure = (curve: CurveFigure, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: curve.title,
      counted: `% of drained weight saleable; ${write.count(curve.tests)} tests`,
      read: 'Line: mean yield by grade. Band: 95 % interval of the mean. Shades: the ranges that can be ordered.',
      table: {
        caption: `${curve.title}: saleable yield by piece weight`,
        columns: columns(`weight, ${write.unit}`, 'grade', '#yield', '#low', '#high'),
        rows: curve.points.map((point) => [
          write.tenths(point.weight),
          point.grade,
          `${write.tenths(point.value)} %`,
          `${write.tenths(point.low)} %`,
          `${write.tenths(point.high)} %`,
        ]),
      },
    },
    (size) => weightCurve(curve.points, curve.ranges, { unit: write.unit, yTitle: '% saleable' }, size),
  );

const weightFigure = (line: BuyerView['weights'][number], write: Formats): Promise<VNode> => {
  const middle = line.rows.reduce((sum, row) => sum + row.value, 0) / Math.max(1, line.rows.length);
  return drawnFigure(
    {
      title: line.item,
      counted: `${write.unit} per piece; ${write.count(line.tests)} tests`,
      read: 'Line: mean piece weight by month of the cut. Band: 95 % interval of the mean. Dashed: mean of the months.',
      table: {
        caption: `${line.item}: mean piece weight by month, ${write.unit}`,
        columns: columns('month', '#weight', '#low', '#high'),
        rows: line.rows.map((row) => [
          row.x,
          write.tenths(row.value),
          write.tenths(row.low),
          write.tenths(row.high),
        ]),
      },
    },
    () =>
      lineBand(line.rows, { xTitle: 'month of the cut', yTitle: write.unit, reference: middle }, 'narrow'),
  );
};
