import { monthOf } from '../../src/units/calendarDay.ts';
import type { SimChain } from './simulated.ts';
import { truthsOf } from './truths.ts';

/** The good tests of a chain as a CSV for the reference fit, with each cell's true saleable effect; points and lb. */
export const referenceRows = (sim: SimChain): string => {
  const truths = truthsOf(sim).cutters;
  const rows = sim.tests
    .filter((test) => test.label === 'good')
    .map((test) => {
      const { receivedLb, purgeLb, lines, store, cutter, item } = test;
      const drained = receivedLb - (store.weighed === 'in-bag' ? purgeLb : 0);
      const sold = lines
        .filter(({ name }) => name === 'main_cut' || name === 'other_cut' || name === 'lean_trim')
        .reduce((sum, { lb }) => sum + lb, 0);
      return [
        store.store,
        cutter.cutter,
        item.item,
        test.grade,
        test.supplier.supplier,
        test.lot,
        monthOf(test.day),
        (drained / test.pieces).toFixed(4),
        ((100 * sold) / drained).toFixed(6),
        truths.get(`${cutter.cutter} ${item.item}`)?.effects.saleable.toFixed(6),
      ].join(',');
    });
  return `${['store,cutter,item,grade,supplier,lot,month,weight,saleable,truth', ...rows].join('\n')}\n`;
};
