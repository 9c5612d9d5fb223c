import { saleableOf } from './compositions.ts';
import { type Drawing, type DrawnPiece, drawPiece } from './drawPieces.ts';
import { peopleShift } from './peopleShift.ts';
import type { Draws } from './seededDraws.ts';
import type { SimCutter } from './simulated.ts';

const fewestBefore = 5;
const windowDays = 150;
const testsAfter = 12;

/**
 * Coaches cutters picked at their worst: those with the lowest raw mean before the day, so that most would look better
 * afterwards in any case. Half of them truly improve (a habit ends, or 2-4 points are won), half do not; as many, just as
 * bad, are left alone as controls. Sets `coached` on the cutters and returns the tests that the trainer asked for
 * afterwards.
 */
export const coachWorst = (
  drawing: Drawing & { cutters: readonly SimCutter[]; pieces: readonly DrawnPiece[] },
  draws: Draws,
): DrawnPiece[] => {
  const { settings, items, cutters, firstDay, days } = drawing;
  const events = Math.round(settings.coachedShare * cutters.length);
  if (events === 0) return [];
  const perCutter = new Map<string, DrawnPiece[]>();
  for (const piece of drawing.pieces)
    perCutter.set(piece.cutter.cutter, [...(perCutter.get(piece.cutter.cutter) ?? []), piece]);
  const seen = cutters.flatMap((cutter) => {
    const day = firstDay + Math.floor(days * draws.between(0.55, 0.7));
    const item = draws.chance(0.5) ? '' : draws.pick(items).item;
    const before = (perCutter.get(cutter.cutter) ?? []).filter(
      (piece) =>
        piece.day <= day && piece.day > day - windowDays && (item === '' || piece.item.item === item),
    );
    return before.length < fewestBefore
      ? []
      : [{ cutter, day, item, raw: meanOf(before.map(rawDifference)) }];
  });
  const worst = seen.sort((a, b) => a.raw - b.raw || (a.cutter.cutter < b.cutter.cutter ? -1 : 1));
  return worst.slice(0, 2 * events).flatMap(({ cutter, day, item }, place) => {
    const improves = draws.chance(0.5);
    const curesHabit = improves && (cutter.habit?.items.some((own) => item === '' || own === item) ?? false);
    const isControl = place % 2 === 1;
    // the drawn pieces hold this very cutter, so it is set in place
    cutter.coached = {
      day,
      item,
      isControl,
      gain: isControl || !improves || curesHabit ? 0 : draws.between(2, 4),
      curesHabit: curesHabit && !isControl,
    };
    if (isControl) return [];
    const left = firstDay + days - day - 1;
    return Array.from({ length: testsAfter }, (_, t) =>
      drawPiece(
        {
          cutter,
          item: items.find((own) => own.item === item) ?? draws.pick(items),
          day: day + 1 + Math.floor(((t + draws.uniform()) / testsAfter) * left),
          reason: 'training',
        },
        drawing,
        draws,
      ),
    );
  });
};

/** What people and chance moved in a test, points of saleable: as a trainer sees it who knows the piece but not luck. */
const rawDifference = (piece: DrawnPiece): number => {
  const shifts = peopleShift(piece);
  return saleableOf(shifts.cutter) + saleableOf(shifts.store) + saleableOf(piece.noise);
};

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
