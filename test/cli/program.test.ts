import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { failure } from '../../src/cli/failure.ts';
import { program } from '../../src/cli/program.ts';

/** Runs the command line in this process; gives what it printed and its exit code. */
const deckle = async (...words: string[]): Promise<{ code: number; out: string; err: string }> => {
  const printed = { out: '', err: '' };
  let code = 0;
  const keep = (into: 'out' | 'err') => (chunk: unknown) => {
    printed[into] += String(chunk);
    return true;
  };
  vi.spyOn(process.stdout, 'write').mockImplementation(keep('out'));
  vi.spyOn(process.stderr, 'write').mockImplementation(keep('err'));
  vi.spyOn(console, 'log').mockImplementation((text: unknown) => {
    printed.out += `${text}\n`;
  });
  try {
    await program((exitCode) => {
      code = exitCode;
    }).parseAsync(['node', 'deckle', ...words]);
  } catch (error) {
    const failed = failure(error);
    code = failed.exitCode;
    printed.err += failed.message;
  }
  vi.restoreAllMocks();
  return { code, ...printed };
};

const commands = ['run', 'rebuild', 'check', 'explain', 'record', 'remove', 'export', 'new'];

describe('the command line', () => {
  afterEach(() => vi.restoreAllMocks());

  it('helps within 80 columns, with two examples each', async () => {
    for (const words of [['--help'], ...commands.map((command) => [command, '--help'])]) {
      const { code, out } = await deckle(...words);
      expect(code).toBe(0);
      expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
      expect(out.split('Examples:\n')[1]?.match(/^ {2}deckle /gm)).toHaveLength(2);
    }
  });

  it('says its version', async () => {
    const { code, out } = await deckle('--version');
    expect([code, out.trim()]).toEqual([0, JSON.parse(readFileSync('package.json', 'utf8')).version]);
  });

  it('names every command and every exit code in its help', async () => {
    const { out } = await deckle('--help');
    for (const command of commands) expect(out).toMatch(new RegExp(`^ {2}${command} `, 'm'));
    for (const code of [0, 3, 4, 64, 66, 70, 73, 74, 75, 78])
      expect(out.split('Exit codes:')[1]).toMatch(new RegExp(`\\b${code}\\b`));
  });

  it('asks what was meant when a command or an option is not known', async () => {
    const command = await deckle('rnu', 'x');
    expect(command.code).toBe(64);
    expect(command.err).toContain('Did you mean run?');
    const option = await deckle('run', 'x', '--as-off', '2026-01-01');
    expect(option.code).toBe(64);
    expect(option.err).toContain('Did you mean --as-of?');
  });

  it('refuses a day that is none, a missing chain and a missing argument', async () => {
    const day = await deckle('run', 'sample-data', '--as-of', '2026-13-01');
    expect([day.code, day.err]).toEqual([64, expect.stringContaining('2026-13-01')]);
    expect((await deckle('check', 'x.csv')).code).toBe(64);
    expect((await deckle('run')).code).toBe(64);
    const chain = await deckle('run', 'test/no-such-chain');
    expect([chain.code, chain.err]).toEqual([66, expect.stringContaining('deckle new')]);
  });

  it('checks files: 0 for good ones, 3 for refused rows, 66 for a file that is not there', async () => {
    const check = (file: string, ...more: string[]) =>
      deckle('check', file, '--chain', 'sample-data', '--as-of', '2026-11-23', ...more);
    const good = await check('sample-data/inbox/plain/s-001.csv');
    expect([good.code, good.out]).toEqual([0, expect.stringContaining('0 rejects')]);
    const bad = await check('sample-data/inbox/plain/mended-late.csv', '--json');
    expect(bad.code).toBe(3);
    expect(JSON.parse(bad.out)[0].rejects).toHaveLength(5);
    const prices = await check('sample-data/reference/prices.csv');
    expect([prices.code, prices.out]).toEqual([
      0,
      expect.stringMatching(/^reference\/prices.csv: ingested, \d+ rows, 0 rejects\n$/),
    ]);
    expect((await check('sample-data/inbox/plain/no-such.csv')).code).toBe(66);
    expect((await check('sample-data/inbox/plain/mended-late.csv', '--quiet')).out).toBe('');
  });

  it('explains a reject code without a release, as text and as JSON', async () => {
    const text = await deckle('explain', 'cell-count', '--chain', 'test/cases/publishedSheets');
    expect([text.code, text.out]).toEqual([0, expect.stringContaining('what to do: ')]);
    const json = await deckle('explain', 'cell-count', '--chain', 'test/cases/publishedSheets', '--json');
    expect(JSON.parse(json.out)).toMatchObject({ kind: 'reject-code', id: 'cell-count', rejects: [] });
  });
});
