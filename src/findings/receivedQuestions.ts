import type { Chain } from '../catalog/chain.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { shortWeight } from './buying/claims.ts';
import { clearClaims } from './buying/clearClaims.ts';
import type { LightStore } from './buying/lightStores.ts';
import type { FindingRow } from './found.ts';
import type { GroupInput } from './groupFindings.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

/**
 * Stores in which less arrives than is billed, of all their suppliers: their scale reads light, or what comes in is weighed
 * after a trim or without the bag. Told where the same suppliers are less short elsewhere, and where nothing tells whether it
 * is the store or a supplier; not of a store in `told`, which was asked about its scale for another reason.
 */
export const receivedQuestions = (
  { chain, asOfDay, used, seenDayOf }: Omit<GroupInput, 'effects'>,
  told: ReadonlySet<string>,
): FindingRow[] => {
  const known = used.filter((test) => seenDayOf(test) < asOfDay);
  const before = new Set(asked(known, chain).map(({ store }) => store));
  return asked(used, chain)
    .filter(({ store }) => !told.has(store))
    .map((light) => question(light, before.has(light.store), chain));
};

/**
 * Stores that are short though no supplier of theirs is: those set apart, and of those that are as short as the others so
 * many, the one with the most tests first, that each supplier is asked about once: where a whole chain is short alike, one scale tells.
 */
const asked = (used: readonly MeasuredTest[], chain: Chain): LightStore[] => {
  const { claims, light } = clearClaims(used, shortWeight(chain), chain);
  const isClaimed = (supplier: string): boolean => claims.get(supplier)?.level !== undefined;
  const open = new Set(light.flatMap(({ suppliers }) => suppliers));
  const alike = light
    .filter(({ isApart, suppliers }) => !isApart && !suppliers.some(isClaimed))
    .sort((a, b) => b.own.length - a.own.length)
    .filter(({ suppliers }) => suppliers.filter((supplier) => open.delete(supplier)).length > 0);
  return [...light.filter(({ isApart }) => isApart), ...alike];
};

const fromText = ({ suppliers, isApart, elsewhere }: LightStore): string => {
  const isOne = suppliers.length === 1;
  const from = isOne
    ? `from its one supplier ${suppliers[0]}`
    : `from all ${suppliers.length} suppliers alike`;
  const also = isApart || Number.isNaN(elsewhere) ? '' : ' and in other stores too';
  return isApart && !isOne ? from : `${from}${also}, so that scale and supplier cannot be told apart`;
};

const question = (light: LightStore, isKnown: boolean, chain: Chain): FindingRow => {
  const { store, own, suppliers, center, reach, elsewhere } = light;
  const tests = own.map(({ test }) => test);
  const number = new Intl.NumberFormat(chain.language, { maximumFractionDigits: 2, signDisplay: 'negative' });
  return writtenFinding(
    {
      kind: 'scale-question',
      store,
      region: tests[0]?.region ?? '',
      cutter: '',
      item: '',
      outcome: 'short-weight',
      status: isKnown ? 'continuing' : 'new',
      since: isoFromDay(Math.min(...tests.map((test) => test.cutDay))),
      effect: center,
      low: center - reach,
      high: center + reach,
      chance: light.chance,
      tests: tests.length,
      money: noMoney,
      comparedWith: Number.isNaN(elsewhere)
        ? 'what is billed'
        : `${number.format(elsewhere)} % in the other stores, same ${suppliers.length === 1 ? 'supplier' : 'suppliers'}`,
      size: `what comes in weighs ${number.format(center)} % less than billed, ${fromText(light)}`,
      evidence: [...tests].sort((a, b) => b.cutDay - a.cutDay || (a.testId < b.testId ? -1 : 1)),
      adjustments: suppliers.length === 1 ? [] : ['supplier'],
      where: 'received',
    },
    chain,
  );
};
