import type { Chain } from '../../catalog/chain.ts';
import type { FindingKindName } from '../../faults/findingKinds.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { benjaminiHochberg } from '../../tables/benjaminiHochberg.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { remembered } from '../../tables/remembered.ts';
import { besideStore } from './besideStore.ts';
import { fewestTests } from './boughtTests.ts';
import { type ClaimLevel, claimLevel, mostFalse } from './claimLevels.ts';
import type { ClaimKind } from './claims.ts';
import { type Judged, judgedTests } from './judgedTests.ts';
import { type LightStore, lightStores } from './lightStores.ts';
import { type SureLot, sureLots } from './sureLots.ts';

/** What is claimed of one supplier: on all its tests (`level`), or only on lots that are surely above by themselves. */
export type ClearClaim = { level: ClaimLevel | undefined; lots: readonly SureLot[] };

export type ClearClaims = {
  claims: Map<string, ClearClaim>;
  /** Tests that tell of a supplier: not those of stores that are short at all suppliers. */
  counted: readonly MeasuredTest[];
  /** Stores short at all their suppliers; of short weight only. */
  light: readonly LightStore[];
};

/** What is known of the tests of one list in one chain: findings, lots and questions ask for the same. */
const known = new WeakMap<readonly MeasuredTest[], Map<Chain, Map<FindingKindName, ClearClaims>>>();

/** What is clearly above what is owed by supplier, in their order; worked out once a list, which nobody changes. */
export const clearClaims = (used: readonly MeasuredTest[], kind: ClaimKind, chain: Chain): ClearClaims => {
  const ofList = known.get(used) ?? new Map<Chain, Map<FindingKindName, ClearClaims>>();
  known.set(used, ofList);
  const ofChain = remembered(ofList, chain, () => new Map<FindingKindName, ClearClaims>());
  return remembered(ofChain, kind.kind, () => found(used, kind, chain));
};

const found = (used: readonly MeasuredTest[], kind: ClaimKind, chain: Chain): ClearClaims => {
  const all = judgedTests(used, kind);
  const light = kind.beside?.what === 'same store' ? lightStores(all, kind, chain) : [];
  const apart = new Set(light.flatMap(({ store, isApart }) => (isApart ? [store] : [])));
  const counted = apart.size === 0 ? used : used.filter((test) => !apart.has(test.store));
  const judged = apart.size === 0 ? all : judgedTests(counted, kind);
  const levels = clearLevels(judged, kind);
  const lots = sureLots(judged, kind, besideStore(judged, new Set(levels.keys())));
  const claims = new Map<string, ClearClaim>();
  for (const supplier of [...new Set([...levels.keys(), ...lots.keys()])].sort()) {
    const own = lots.get(supplier) ?? [];
    const tests = own.reduce((sum, lot) => sum + lot.own.length, 0);
    if (levels.has(supplier) || tests >= fewestTests)
      claims.set(supplier, { level: levels.get(supplier), lots: own });
  }
  return { claims, counted, light };
};

/**
 * Levels clearly above what is owed by supplier, at a false discovery rate over all suppliers tested. Who is clearly short is
 * no measure for the others: they are looked at again without.
 */
const clearLevels = (judged: readonly Judged[], kind: ClaimKind): Map<string, ClaimLevel> => {
  const bySupplier = groupedBy(judged, ({ test }) => test.supplier);
  const suppliers = [...bySupplier.keys()].filter((name) => name !== '').sort();
  const clear = new Map<string, ClaimLevel>();
  for (let before = -1; before < clear.size; ) {
    before = clear.size;
    const inStore = besideStore(judged, new Set(clear.keys()));
    const levels = suppliers.flatMap((supplier) => {
      const level = clear.get(supplier) ?? claimLevel(bySupplier.get(supplier) ?? [], kind, inStore);
      return level === undefined ? [] : [{ supplier, level }];
    });
    const adjusted = benjaminiHochberg(levels.map(({ level }) => level.pValue));
    for (const [i, { supplier, level }] of levels.entries()) {
      const isApart = level.center - level.reach > kind.usualPercent + kind.margin;
      if (isApart && (adjusted[i] as number) <= mostFalse) clear.set(supplier, level);
    }
    if (kind.beside?.what !== 'same store') break;
  }
  return clear;
};
