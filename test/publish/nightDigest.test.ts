import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import { nightDigest } from '../../src/publish/nightDigest.ts';
import { peopleFreeFields } from '../../src/publish/pages/peopleFree.ts';
import { expectedFields, testFields } from '../../src/publish/pages/trainerFacts.ts';
import type { SitesInput } from '../../src/publish/sitesInput.ts';

const input = (
  change: { kg?: number; effect?: number; name?: string; code?: string; owed?: number; seen?: number } = {},
): SitesInput =>
  ({
    chain: { name: change.name ?? 'Mill' },
    asOfDay: 20_000,
    measured: {
      tests: table(
        Object.fromEntries(
          [...testFields, ...peopleFreeFields, 'seenDay'].map((name) => [
            name,
            name === 'mainCutYield' ? [1, change.kg ?? Number.NaN] : ['s-1', change.seen ?? 's-2'],
          ]),
        ),
      ),
    },
    reference: { cutters: [], coaching: [] },
    modeled: {
      expected: table(
        Object.fromEntries(
          ['store', 'testId', 'residual_saleable', ...expectedFields].map((name) => [name, [0.1]]),
        ),
      ),
      effects: Array.from({ length: 20_001 }, (_, i) => ({
        id: i,
        effect: i === 20_000 ? change.effect : 0,
      })),
      curves: [],
      adjustedFor: [],
    },
    found: { findings: [] },
    intake: [{ owed: change.owed ?? 0 }],
    rejects: [],
    cutterCode: () => change.code ?? 'a1',
  }) as unknown as SitesInput;

describe('the digest of a night', () => {
  it('is the same for the same night, missing numbers included', () => {
    expect(nightDigest(input())).toBe(nightDigest(input()));
  });
  it('differs with the smallest change anywhere', () => {
    const changes = [
      { kg: 2 },
      { effect: Number.EPSILON },
      { effect: -Number.EPSILON },
      { name: 'Mil' },
      { code: 'b2' },
      { owed: 1 },
      { seen: 19_999 },
    ];
    const digests = [{}, ...changes].map((change) => nightDigest(input(change)));
    expect(new Set(digests).size).toBe(changes.length + 1);
  });
});
