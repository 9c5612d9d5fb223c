import { table } from 'arquero';
import type { ScreenedNight } from '../screen/screened.ts';
import { numbersOf, textsOf } from '../tables/columns.ts';
import type { LineCells } from './lineCells.ts';
import type { RepairRow, ReviewedNight } from './reviewed.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import type { Verdict } from './verdicts.ts';

const weights = [
  ['received', 'receivedKg'],
  ['purge', 'purgeKg'],
  ['billed', 'billedKg'],
  ['added', 'addedKg'],
  ['unit_cost', 'unitCostPerKg'],
] as const;

/** The screened tables with each verdict written in; what a repair replaces is listed, number by number. */
export const appliedVerdicts = (
  screened: ScreenedNight,
  { facts, lines, usualCost }: { facts: ReviewFacts; lines: LineCells; usualCost: Float64Array },
  found: readonly Verdict[],
): ReviewedNight => {
  const state = facts.state.slice();
  const reasons = facts.reasons.slice();
  const cause = textsOf(screened.tests, 'cause');
  const causeChance = numbersOf(screened.tests, 'causeChance');
  const columns = Object.fromEntries(weights.map(([, name]) => [name, facts[name].slice()]));
  const outputKg = numbersOf(screened.outputs, 'outputKg');
  const repairs: RepairRow[] = [];
  for (const verdict of found) {
    const i = verdict.test;
    state[i] = verdict.state;
    reasons[i] = verdict.reasons;
    cause[i] = verdict.cause;
    causeChance[i] = verdict.chance;
    if (verdict.restored === undefined) continue;
    const shared = {
      store: facts.store[i] as string,
      testId: facts.testId[i] as string,
      reason: verdict.reasons,
      chance: verdict.chance,
      cause: verdict.cause,
    };
    for (const [field, name] of weights) {
      const sent = facts[name][i] as number;
      const repaired = repairedWeight(verdict, name, {
        sent,
        usualCost: usualCost[facts.piece.codes[i] as number] as number,
      });
      if (!isChanged(sent, repaired)) continue;
      (columns[name] as Float64Array)[i] = repaired;
      repairs.push({ ...shared, field, output: '', sent, repaired });
    }
    for (const change of changedLines(verdict.restored.linesKg, i, { facts, lines })) {
      outputKg[change.row] = change.repaired;
      repairs.push({
        ...shared,
        field: 'output',
        output: change.output,
        sent: change.sent,
        repaired: change.repaired,
      });
    }
  }
  return {
    screened: {
      tests: screened.tests.assign(table({ state, reasons, cause, causeChance, ...columns })),
      outputs: screened.outputs.assign(table({ outputKg })),
    },
    repairs,
    changed: found.length > 0,
    refit: found.some(
      ({ test, state: now, restored }) => restored !== undefined || now !== facts.state[test],
    ),
  };
};

const isChanged = (sent: number, repaired: number): boolean =>
  !Number.isNaN(repaired) && Math.abs(repaired - sent) > 1e-9 * Math.abs(sent);

const repairedWeight = (
  { restored, unitFactor }: Verdict,
  name: (typeof weights)[number][1],
  { sent, usualCost }: { sent: number; usualCost: number },
): number => {
  if (restored === undefined) return sent;
  if (name === 'unitCostPerKg') {
    // the price may be per unit of the sheet or of the invoice: the nearer to what the item usually costs
    const isNearer = Math.abs(Math.log(sent / unitFactor / usualCost)) < Math.abs(Math.log(sent / usualCost));
    return isNearer ? sent / unitFactor : sent;
  }
  return name === 'addedKg' ? sent * unitFactor : restored[name];
};

type LineChange = { row: number; output: string; sent: number; repaired: number };

const changedLines = (
  restoredKg: Float64Array,
  i: number,
  { facts, lines }: { facts: ReviewFacts; lines: LineCells },
): LineChange[] => {
  const outputs = lines.cells[lines.cellOf[i] as number]?.outputs;
  const changes: LineChange[] = [];
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++) {
    const output = facts.lineOutput[line] as number;
    const place = outputs?.indexOf(output) ?? -1;
    const sent = facts.lineKg[line] as number;
    const repaired = place < 0 ? sent : (restoredKg[place] as number);
    if (isChanged(sent, repaired))
      changes.push({
        row: facts.lineRow[line] as number,
        output: facts.outputNames[output] as string,
        sent,
        repaired,
      });
  }
  return changes;
};
