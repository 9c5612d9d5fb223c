import { notCounted } from './peopleFree.ts';

export type Term = { term: string; means: string };

/** Formulas in words, each with its source. */
export const formulas: readonly Term[] = [
  {
    term: 'Drained weight',
    means:
      'Received weight less purge when weighed in the bag, else received weight: what lies on the block. Yield is a share of it. Billed weight that was not given is filled in as drained + purge. (Our definition.)',
  },
  {
    term: 'Unaccounted weight',
    means:
      'Drained + added weight less all outputs. A blank line is not weighed and never counts as none. (Mass balance.)',
  },
  {
    term: 'Expected yield',
    means:
      'Estimated for each item, spec and treatment from all its tests: method, grade, weight of the piece (natural spline), month, supplier, and shrunken effects of store and cutter. One odd test is bounded (Huber 1964), so it cannot move the rest. (Restricted maximum likelihood: Patterson and Thompson 1971.)',
  },
  {
    term: 'Effect',
    means:
      'Difference of a cutter, store or supplier from expected, drawn toward the average by how little is known of it; large habits are drawn less (a mixture prior, Efron and Morris 1975 for the idea of shrinking). What the whole room does is the room’s and singles nobody out. Effects over all classes of one person add to 0.',
  },
  {
    term: 'Interval',
    means:
      'With 95 % chance, given the model and data, the true value lies in it. An interval that holds 0 may be chance alone.',
  },
  {
    term: 'Cost of a habit',
    means:
      'Gap in sales value per drained unit, at one regular price list, times the store’s weekly volume of the item, times the cutter’s share of its tests: cutters add up to store, stores to chain. Without a known volume it is the money of the tests seen, and says so. Intervals of sums take the errors of different people and rooms as independent.',
  },
  {
    term: 'Small rooms',
    means:
      'Pages without people show no row of a room with fewer cutters than the chain’s minimum. Their money stands in sums of at least 3 stores and that many cutters, and no adding or taking away of one night’s figures leaves fewer. Two nights are not guarded against each other: where one small room’s habit came or went in between, their sums differ by about its money, without its name. Keep old pages from those who need not have them.',
  },
  {
    term: 'Cost per saleable unit',
    means:
      '(Unit cost × billed weight − credit of what is sold but not saleable) ÷ saleable weight. Residual cost credits everything but the main cut (the butcher’s test, textbook). Two figures, never mixed.',
  },
  {
    term: 'Margin and markup',
    means: `Margin is a share of sales, markup of cost. Labor is hands-on minutes ÷ 60 × the chain’s rate. Cutting margin is sales less meat cost. ${notCounted}`,
  },
  {
    term: 'Landed price',
    means:
      'Quoted price with freight, by the weight left after the purge and short weight of that supplier’s bags. Where fewer than 8 sheets tell them, as if nothing were lost, and said so.',
  },
  {
    term: 'What a range is worth',
    means:
      'Expected sales value at the regular list over the pieces really sold in the range, for the way of cutting most used. Same margin: the quoted price × the ratio of the two values. Same money: the quoted price + the difference of the values − that of labor. Intervals by the delta method; they count the curve, the supplier, the bags and the boxes seen. Nothing is answered beyond the middle 96 % of weights seen.',
  },
  {
    term: 'Ways of cutting compared',
    means:
      'Least squares at the same grade and piece weight, within cutters who cut both ways where five do; errors by store. Break-even: the one price at which the way would earn as much as the other.',
  },
  {
    term: 'Cost of an output',
    means:
      'Purchase cost shared by sales value (every output shows the same margin) or by weight, over all fully priced tests of the way; shares add up to the cost. Price at target margin = cost ÷ (1 − margin).',
  },
  {
    term: 'What changed',
    means:
      'Each test’s value by billed weight split by the terms of its expected yield, the store’s price against the list, and the rest, which is cutting; differences of quarter means by billed weight. Printed parts add up to the total.',
  },
  {
    term: 'Book yield to change',
    means: 'The book lies outside the 95 % interval of 8 or more tests of that item and method.',
  },
];

export const charts: readonly Term[] = [
  {
    term: 'Dot and line',
    means:
      'The dot is the estimate, the line its 95 % interval. Dark: the interval leaves the dashed reference out. Grey: it may be chance.',
  },
  {
    term: '20 dots',
    means:
      'Each dot is a chance of 1 in 20. Count dots to read a chance: 5 dots right of an amount are 1 in 4.',
  },
  {
    term: 'Line and band',
    means: 'The line is the mean, the band its 95 % interval. Bands that overlap much may not differ.',
  },
  {
    term: 'Strip',
    means: 'One strip is one piece: where its weight went, in per cent of drained weight, main cut first.',
  },
  {
    term: 'Funnel',
    means: 'Few tests scatter widely by chance alone. Only dots outside the dashed limits ask a question.',
  },
  {
    term: 'Points over time',
    means:
      'Each dot is one test. The band holds about 95 % of the tests of its stretch; a colored rule marks coaching.',
  },
];

export const glossary: readonly Term[] = [
  {
    term: 'Cutting test',
    means:
      'One received piece, or a box of them, cut by one cutter by one method on one day, every output weighed.',
  },
  {
    term: 'Main, other cut, lean trim, fat, bone, waste',
    means:
      'The classes of outputs. Bone left in a cut is part of the cut. Lean trim counts as saleable from the chain’s lean point up.',
  },
  { term: 'Saleable', means: 'Main cut + other cut + lean trim at or above the chain’s lean point.' },
  { term: 'Purge', means: 'Liquid lost in the bag between packing and cutting.' },
  { term: 'Points', means: 'Differences of per cents: from 80 % to 78 % is 2 points.' },
  {
    term: 'Habit, room habit',
    means:
      'A lasting pattern in one cutter’s outputs; a room habit is the same with all cutters of a store, the whole room.',
  },
  {
    term: 'Book yield',
    means: 'The yield that the chain has written down for an item, from which its prices are set.',
  },
  {
    term: 'Trim tub',
    means:
      'The tub that trim goes into before the grinder. Left off the scale, its weight is missing from the sheet.',
  },
  {
    term: 'Billed, drained, saleable',
    means:
      'The weight on the invoice; what of it lies on the block without the liquid in the bag; what of that is sold.',
  },
  {
    term: 'FOB, delivered',
    means: 'A price without freight, and one with it. Offers are compared delivered.',
  },
  {
    term: 'Reliability',
    means: 'How much of the differences seen is real, 0 to 1. Below 0.5 nobody is compared by name.',
  },
  {
    term: 'Set aside',
    means:
      'A test that cannot be true as sent, by mass balance or beside its peers. It counts nowhere until mended.',
  },
  {
    term: 'Spec, treatment',
    means:
      'What was ordered (tail, fat, trim) and what was done to it (enhanced, thawed). Tests of different ones are never pooled.',
  },
];

export const cautions: readonly Term[] = [
  {
    term: 'Knives and guards',
    means:
      'No figure here is a reason to cut faster or without hand protection. The employer chooses protection by hazard (29 CFR 1910.138). Under 18, no power saws, slicers or grinders, cleaning included (29 CFR 570.61).',
  },
  {
    term: 'Cold chain',
    means:
      'A test is done within your rules for time out of refrigeration: product at 41 °F (5 °C) or below except while worked on (FDA Food Code 3-501.16, as adopted where you are). Do not hold meat warm to finish a test.',
  },
  {
    term: 'Net weight',
    means:
      'Labels state net weight without packaging, by the rules of your place (in the US 9 CFR 442 with NIST Handbook 133). A yield won on the label is not a yield.',
  },
  {
    term: 'Fairness',
    means:
      'A figure about a person is a question for a talk, not a verdict: small numbers of tests, other animals, other tables. It is for coaching, not for pay or discipline; employment law where you are decides.',
  },
  {
    term: 'Local codes decide',
    means: 'Where local codes or licensed practice differ from anything written here, they hold.',
  },
];
