import type { OutputSpan, SentOutput } from '../normalize/outputSpan.ts';
import type { Kinds, LakeColumns } from './lakeColumns.ts';
import type { LakeVersion } from './lakeRows.ts';

/** The columns of outputs that their test does not say already, in the order the lake keeps them. */
const kinds: Kinds<SentOutput> = {
  output: 'text',
  outputClass: 'text',
  outputKg: 'number',
  weightAsSent: 'number',
  pieces: 'number',
  sourceLine: 'number',
};
export const sentOutputNames = Object.keys(kinds) as (keyof SentOutput)[];

/** All outputs of versions by column, those of a version behind those of the one before. */
export const outputColumns = (versions: readonly LakeVersion[]): LakeColumns => {
  const count = outputCount(versions);
  const gathered = (name: keyof SentOutput): Float64Array | string[] => {
    const column: (string | number)[] | Float64Array =
      kinds[name] === 'number' ? new Float64Array(count) : new Array<string>(count);
    let place = 0;
    for (const { outputs } of versions) {
      const own = outputs.columns[name];
      for (let at = outputs.from; at < outputs.to; at++) column[place++] = own[at] as number;
    }
    return column as Float64Array | string[];
  };
  return Object.fromEntries(sentOutputNames.map((name) => [name, gathered(name)]));
};

/** One text of each version, once for each of its outputs. */
export const textsPerOutput = (
  versions: readonly LakeVersion[],
  textOf: (version: LakeVersion) => string,
): string[] => {
  const texts = new Array<string>(outputCount(versions));
  let place = 0;
  for (const version of versions) {
    const text = textOf(version);
    for (let left = version.outputs.to - version.outputs.from; left > 0; left--) texts[place++] = text;
  }
  return texts;
};

/** The place among the versions of the one that each output belongs to. */
export const versionPlaces = (versions: readonly LakeVersion[]): Float64Array => {
  const places = new Float64Array(outputCount(versions));
  let at = 0;
  for (const [place, { outputs }] of versions.entries()) {
    const end = at + outputs.to - outputs.from;
    places.fill(place, at, end);
    at = end;
  }
  return places;
};

const outputCount = (versions: readonly LakeVersion[]): number => {
  let count = 0;
  for (const { outputs } of versions) count += outputs.to - outputs.from;
  return count;
};

/** The outputs of each of `count` versions in columns that were made by `outputColumns`, with the places of their versions. */
export const outputSpans = (columns: LakeColumns, places: ArrayLike<number>, count: number): OutputSpan[] => {
  const spans: OutputSpan[] = [];
  let at = 0;
  for (let place = 0; place < count; place++) {
    const from = at;
    while (at < places.length && places[at] === place) at++;
    spans.push({ columns: columns as unknown as OutputSpan['columns'], from, to: at });
  }
  return spans;
};
