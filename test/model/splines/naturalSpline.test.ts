import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { naturalSpline } from '../../../src/model/splines/naturalSpline.ts';

// Reference: test/reference/misc.json, made by misc.R with R splines::ns (versions inside the file).
const { ns } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));
const same = (columns: Float64Array[], rows: number[][]): void => {
  for (const [i, row] of rows.entries())
    for (const [k, value] of row.entries()) expect(columns[k]?.[i]).toBeCloseTo(value, 12);
};

describe('natural cubic spline', () => {
  it('equals the reference basis, inside, at and beyond the boundary', () => {
    const { knots, boundary, basis, predict_x, predict_basis } = ns.df3;
    same(naturalSpline(ns.x, { inner: knots, boundary }), basis);
    same(naturalSpline(predict_x, { inner: knots, boundary }), predict_basis);
    same(naturalSpline(ns.x, { inner: ns.fixed.knots, boundary: ns.fixed.boundary }), ns.fixed.basis);
  });
  it('is a line beyond the boundary', () => {
    const columns = naturalSpline([20, 21, 22], { inner: [5], boundary: [0, 10] });
    for (const column of columns)
      expect((column[0] as number) - 2 * (column[1] as number) + (column[2] as number)).toBeCloseTo(0, 10);
  });
});
