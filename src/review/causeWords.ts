import { type CauseFact, heldCauses, reviewCauses } from '../faults/reviewCauses.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { Copy } from './copiedTests.ts';
import { type SheetVerdict, twinOf } from './judgeSheet.ts';
import type { LineCells } from './lineCells.ts';
import { movedKg } from './movedWeight.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import { drainedKgOf, type Sheet } from './sheet.ts';
import { expectedLineKg, type TrueSheet } from './sheetLikelihood.ts';

/** What words need of the night: names of lines and the chain's unit. */
export type Worded = { facts: ReviewFacts; lines: LineCells; unit: 'lb' | 'kg' };

const perCent = (chance: number): string =>
  chance > 0.999 ? 'over 99.9 % sure' : `${(Math.floor(chance * 1000) / 10).toFixed(1)} % sure`;

/** The likely cause of one test in words, weights in the chain's unit. */
export const causeWords = (
  night: Worded,
  i: number,
  { truth, sheet, judged }: { truth: TrueSheet; sheet: Sheet; judged: SheetVerdict },
): string => {
  const { error, restored } = judged;
  const names = night.lines.cells[night.lines.cellOf[i] as number]?.outputs ?? [];
  const nameOf = (line: number): string => night.facts.outputNames[names[line] as number] ?? '';
  const weight = (kg: number): string => `${(kg / kilogramsPer(night.unit)).toFixed(2)} ${night.unit}`;
  const line = error.cause === 'composition-odd' ? oddestLine(truth, sheet) : error.line;
  const isOfLine = line >= 0;
  const [sent, likely] = isOfLine
    ? [sheet.linesKg[line] as number, restored.linesKg[line] as number]
    : error.cause === 'purge-decimal'
      ? [sheet.purgeKg, restored.purgeKg]
      : [sheet.receivedKg, restored.receivedKg];
  const isGuess = error.unknown >= 0 || error.cause === 'composition-odd';
  const fact: CauseFact = {
    line: isOfLine ? nameOf(line) : 'received weight',
    other: nameOf(
      Math.max(error.swapWith, error.movedTo) >= 0
        ? Math.max(error.swapWith, error.movedTo)
        : isOfLine
          ? twinOf(sheet, line, truth.divisionKg)
          : -1,
    ),
    sent: weight(sent),
    likely: weight(
      isGuess
        ? expectedLineKg(truth, sheet, line)
        : error.isReceivedUnknown
          ? balancedKg(truth, sheet)
          : error.movedTo >= 0
            ? sent + Math.max(0, movedKg(truth, sheet, error).likeliest[0] as number)
            : likely,
    ),
    unit: error.unit,
    chance: perCent(judged.chance),
  };
  return reviewCauses[error.cause].says(fact);
};

const balancedKg = (truth: TrueSheet, sheet: Sheet): number => {
  let lines = 0;
  let expected = 0;
  for (const [j, kg] of sheet.linesKg.entries()) {
    lines += kg;
    expected += truth.share[j] as number;
  }
  return lines / expected + (sheet.isInBag ? sheet.purgeKg : 0);
};

/** The line farthest from what the others let expect, in log. */
const oddestLine = (truth: TrueSheet, sheet: Sheet): number => {
  let worst = 0;
  let farthest = -1;
  const drained = drainedKgOf(sheet);
  for (let j = 0; j < truth.k; j++) {
    const precision = truth.inverse[j * truth.k + j] as number;
    const off = ((sheet.linesKg[j] as number) - expectedLineKg(truth, sheet, j)) / drained;
    if (Math.abs(off) * Math.sqrt(precision) > farthest) {
      farthest = Math.abs(off) * Math.sqrt(precision);
      worst = j;
    }
  }
  return worst;
};

/** Words for a test that probably repeats another: what is the same, counted. */
export const copyWords = (otherTestId: string, copy: Copy): string =>
  reviewCauses[copy.isByShare ? 'shares-copied' : 'test-copied'].says({
    line: `${copy.alike} of ${copy.lines}`,
    other: otherTestId,
    sent: '',
    likely: '',
    unit: '',
    chance: perCent(copy.chance),
  });

/** Words for a test that the screen held and the review cannot compare: what is missing, and what to do. */
export const heldWords = (facts: ReviewFacts, i: number): string => {
  const blank: string[] = [];
  for (let line = facts.lineStart[i] as number; line < (facts.lineStart[i + 1] as number); line++)
    if (Number.isNaN(facts.lineKg[line] as number))
      blank.push(facts.outputNames[facts.lineOutput[line] as number] as string);
  return (facts.reasons[i] as string)
    .split(';')
    .flatMap((reason) => (Object.hasOwn(heldCauses, reason) ? [reason as keyof typeof heldCauses] : []))
    .map((reason) => heldCauses[reason](blank))
    .join(' ');
};
