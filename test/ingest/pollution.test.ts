import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { delivered } from '../../pipelines/delivered.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { readSentSchemas } from '../../src/ingest/readSchemaFields.ts';
import { senderOf } from '../../src/ingest/senderOf.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { pollutedFiles } from '../cases/pollution/pollute.ts';
import { contractFiles } from '../cases/pollution/polluteByContract.ts';
import { furtherPollutedFiles } from '../cases/pollution/polluteMore.ts';
import type { Outcome, PollutedFile } from '../cases/pollution/polluter.ts';
import { sentTests } from '../normalize/sentTests.ts';

// The score per fault class: npx vitest run --config .config/vitest.unit.ts test/ingest/pollution.test.ts
const chain = readChain('test/cases/pollution', diskFileSystem);
const clean = readFileSync('test/cases/pollution/clean.csv', 'utf8');
const schemas = readSentSchemas(diskFileSystem);
const read = (path: string, bytes: Uint8Array, sender: PollutedFile['sender'] = {}) =>
  delivered(
    { path: `inbox/${path}`, bytes },
    {
      chain: { ...chain, senders: [{ ...senderOf('', []), name: 'sender', ...sender }] },
      ...schemas,
      asOfDay: dayFromIso('2026-11-23'),
    },
  );

type Version = ReturnType<typeof sentTests>[number];
/** A test without where it stood; weights to a millionth of a kg, notes and pieces as of the long layout only. */
const plainTest = ({ test, outputs }: Version, isWide: boolean): string => {
  const number = (value: number): string => (Number.isNaN(value) ? '' : value.toFixed(6));
  const { sourceFile, sourceLine, byteOffset, rows, note, unit, ...rest } = test;
  return JSON.stringify([
    Object.entries(rest).map(([name, value]) => [name, typeof value === 'number' ? number(value) : value]),
    outputs
      .map((row) => [row.output, row.outputClass, number(row.outputKg), isWide ? '' : number(row.pieces)])
      .sort((a, b) => ((a[0] as string) < (b[0] as string) ? -1 : 1)),
  ]);
};
/** Every version of every test: a file may hold copies of one, which the lake counts as duplicates. */
const plainTests = (versions: readonly Version[], isWide: boolean): [string, string][] =>
  versions.map((version) => [version.test.testId, plainTest(version, isWide)]);

type Score = 'right' | 'wrong' | 'silent';
const scored = (file: PollutedFile): { score: Score; why: string } => {
  const isWide = file.sender?.layout === 'wide';
  const truth = new Map(
    plainTests(sentTests(read('clean.csv', new TextEncoder().encode(file.like ?? clean)).versions), isWide),
  );
  const own = read(file.path ?? 'dirty.csv', file.bytes, file.sender);
  const versions = plainTests(sentTests(own.versions), isWide);
  const found = new Map(versions);
  const changed = versions.filter(([id, text]) => truth.get(id) !== text).map(([id]) => id);
  const codes = [...new Set(own.rejects.map((reject) => reject.code))];
  const isRefused = own.table.state === 'quarantined';
  const why = `${own.table.state} [${codes.join(' ')}] ${found.size} of ${truth.size} tests, changed [${changed.join(' ')}]`;
  const missing = [...truth.keys()].filter((id) => !found.has(id));
  const named = new Set(own.givenBack.map((row) => row.record.join('\u0000')));
  const isUnsaid = missing.length > 0 && !isRefused && named.size === 0;
  if (changed.length > 0 || isUnsaid) return { score: 'silent', why };
  const isRight = (right: Outcome): boolean => {
    if ('quarantined' in right) return isRefused && codes.join() === right.quarantined;
    const refused = new Set(right.refused);
    return (
      !isRefused &&
      missing.every((id) => refused.has(id)) &&
      missing.length === refused.size &&
      (right.code === undefined ? codes.length === 0 : codes.includes(right.code))
    );
  };
  return { score: file.right.some(isRight) ? 'right' : 'wrong', why };
};

describe('polluted copies of one clean file', () => {
  const files = [...pollutedFiles(clean), ...furtherPollutedFiles(clean), ...contractFiles(clean)];
  const results = files.map((file) => ({ file, ...scored(file) }));
  const classes = [...new Set(files.map((file) => file.faultClass))];
  const count = (score: Score, faultClass?: string): number =>
    results.filter(
      (one) => one.score === score && (faultClass ?? one.file.faultClass) === one.file.faultClass,
    ).length;

  it('are at least 150 files over at least 25 classes of fault', () => {
    expect(files.length).toBeGreaterThanOrEqual(150);
    expect(classes.length).toBeGreaterThanOrEqual(25);
    expect(new Set(files.map((file) => `${file.faultClass} ${file.name}`)).size).toBe(files.length);
  });

  it('give the right rows or the right refusal in at least 97 %, and never a silent change', () => {
    const table = classes.map(
      (name) =>
        `${name.padEnd(24)} ${String(count('right', name)).padStart(3)} right of ${String(files.filter((file) => file.faultClass === name).length).padStart(3)}, ${count('silent', name)} silent`,
    );
    const bad = results.filter((one) => one.score !== 'right');
    console.log(
      [
        ...table,
        `${'all'.padEnd(24)} ${count('right')} right of ${files.length} (${((100 * count('right')) / files.length).toFixed(1)} %), ${count('silent')} silent`,
        ...bad.map((one) => `${one.score}: ${one.file.faultClass}, ${one.file.name}: ${one.why}`),
      ].join('\n'),
    );
    expect(count('silent')).toBe(0);
    expect(count('right') / files.length).toBeGreaterThanOrEqual(0.97);
  });

  it('names file, line, byte offset, cause and remedy with every refusal', () => {
    for (const { file } of results) {
      const { rejects } = read('dirty.csv', file.bytes, file.sender);
      const isWhole = rejects.every(
        (reject) =>
          reject.sourceFile === 'inbox/dirty.csv' &&
          reject.sourceLine >= 1 &&
          reject.byteOffset >= 0 &&
          reject.byteOffset <= file.bytes.length &&
          reject.remedy !== '' &&
          reject.expected !== '',
      );
      expect(isWhole, file.name).toBe(true);
    }
  });
});
