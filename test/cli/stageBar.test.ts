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

  it('counts the pages beside the stage, now and then and at the last, until the next stage', () => {
    const { stream, shown } = terminal(true);
    const bar = stageBar(stream, { NO_COLOR: '1' });
    bar.stage('drawing the pages');
    for (let drawn = 1; drawn <= 23; drawn++) bar.pages({ drawn, takenOver: 0, of: 25 });
    bar.pages({ drawn: 23, takenOver: 2, of: 25 });
    bar.stage('writing');
    bar.stop();
    const told = shown()
      .split('drawing the pages: ')
      .slice(1)
      .map((text) => text.split('\u001b')[0]?.trim());
    expect([...new Set(told)]).toEqual(['10 of 25', '20 of 25', '25 of 25, 2 taken over']);
    expect(shown()).not.toMatch(/writing: /);
  });

  it('has no color when NO_COLOR is set, and is silent elsewhere', () => {
    expect(run(true, { NO_COLOR: '1' })).not.toContain('\u001b[36m');
    expect(run(true, { NO_COLOR: '1' })).toContain('reading the inbox');
    expect(run(false, {})).toBe('');
    expect(run(true, { TERM: 'dumb' })).toBe('');
  });
});
