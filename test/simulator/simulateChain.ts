import { dayFromIso, monthOf } from '../../src/units/calendarDay.ts';
import { coachWorst } from './coachWorst.ts';
import { drawCutters, drawItems, drawStores, drawSuppliers } from './drawPeople.ts';
import { type DrawnPiece, drawPieces } from './drawPieces.ts';
import { peopleShift } from './peopleShift.ts';
import { seededDraws } from './seededDraws.ts';
import type { SimChain, SimTest } from './simulated.ts';
import { spoilTests } from './spoilTests.ts';
import { type Settings, settingsOf, type VariantName } from './variants.ts';
import { weighTest } from './weighTest.ts';

const firstDay = dayFromIso('2025-09-01');

/**
 * A chain with known truth: stores, cutters, their true effects and habits, and every test as it was and as it was sent.
 * The same seed and variant give the same chain; variants share what they do not change. `change` overrides settings,
 * such as fewer stores and tests for a quick run.
 */
export const simulateChain = (
  seed: number,
  variant: VariantName = 'base',
  change: Partial<Settings> = {},
): SimChain => {
  const settings: Settings = { ...settingsOf(variant), ...change };
  const days = Math.floor(settings.months * 30.4);
  const items = drawItems(settings, seededDraws(seed, 0));
  const suppliers = drawSuppliers(settings, seededDraws(seed, 1));
  const stores = drawStores(settings, { items, suppliers }, seededDraws(seed, 2)).map((store, s) => ({
    ...store,
    change: s < settings.storeChanges ? { day: firstDay + Math.floor(days * 0.6), size: -3 } : undefined,
  }));
  const cutters = drawCutters(settings, { items, stores, firstDay, days }, seededDraws(seed, 3));
  const effects = monthAndLotEffects(settings, seed);
  const pieces = drawPieces({ settings, items, cutters, firstDay, days, ...effects }, seededDraws(seed, 4));
  const extra = coachWorst(
    { settings, items, cutters, pieces, firstDay, days, ...effects },
    seededDraws(seed, 5),
  );
  const weighing = seededDraws(seed, 6);
  const tests = [...pieces, ...extra]
    .map((piece, drawn) => ({ piece, drawn }))
    .sort((a, b) => a.piece.day - b.piece.day || byName(a.piece, b.piece) || a.drawn - b.drawn)
    .map(
      ({ piece }, i): SimTest => ({
        ...weighTest(piece, { settings, shifts: peopleShift(piece), draws: weighing }),
        testId: `T${String(i + 1).padStart(6, '0')}`,
      }),
    );
  return {
    seed,
    variant,
    settings,
    items,
    stores,
    suppliers,
    cutters,
    tests: spoilTests(tests, settings, seededDraws(seed, 7)),
    firstDay,
    asOfDay: firstDay + days,
  };
};

const byName = (a: DrawnPiece, b: DrawnPiece): number =>
  a.cutter.cutter < b.cutter.cutter ? -1 : a.cutter.cutter > b.cutter.cutter ? 1 : 0;

/** Points of each calendar month (a season and chance) and of each lot, drawn once per name in any order. */
const monthAndLotEffects = (
  settings: Settings,
  seed: number,
): { monthEffect: (day: number) => number; lotEffect: (lot: string) => number } => {
  const once = (draw: (name: string) => number): ((name: string) => number) => {
    const known = new Map<string, number>();
    return (name) => {
      const found = known.get(name) ?? draw(name);
      known.set(name, found);
      return found;
    };
  };
  const number = (name: string): number => {
    let hash = 0;
    for (const letter of name) hash = (Math.imul(hash, 31) + letter.charCodeAt(0)) | 0;
    return hash;
  };
  const month = once((name) => 0.35 * seededDraws(seed, number(name)).normal());
  const lot = once((name) => settings.sd.lot * seededDraws(seed, number(name)).normal());
  return {
    monthEffect: (day) => 0.6 * Math.sin((2 * Math.PI * day) / 365.2425) + month(`month ${monthOf(day)}`),
    lotEffect: lot,
  };
};
