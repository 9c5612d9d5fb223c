import { Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { stageBar } from '../../src/cli/stageBar.ts';

const terminal = (isTTY: boolean): { stream: NodeJS.WriteStream; shown: () => string } => {
  let text = '';
  const stream = new Writable({
    write: (chunk, _, next) => {
      text += String(chunk);
      next();
    },
  });
  return { stream: Object.assign(stream, { isTTY, columns: 80 }) as never, shown: () => text };
};

const run = (isTTY: boolean, environment: NodeJS.ProcessEnv): string => {
  const { stream, shown } = terminal(isTTY);
  const bar = stageBar(stream, environment);
  bar.stage('reading the inbox');
  bar.stage('drawing the pages');
  bar.stop();
  return shown();
};

describe('stageBar', () => {
  it('names the stage at work on a terminal', () => {
    const shown = run(true, {});
    expect(shown).toContain('reading the inbox');
    expect(shown).toContain('drawing the pages');
    expect(shown).toContain('\u001b[36m');
  });

  it('has no color when NO_COLOR is set, and is silent elsewhere', () => {
    expect(run(true, { NO_COLOR: '1' })).not.toContain('\u001b[36m');
    expect(run(true, { NO_COLOR: '1' })).toContain('reading the inbox');
    expect(run(false, {})).toBe('');
    expect(run(true, { TERM: 'dumb' })).toBe('');
  });
});
