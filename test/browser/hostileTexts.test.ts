import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { closedColumns, damaged, hostileFiles, payloads, planted, plantedFields } from './hostileNight.ts';
import { openBrowser } from './openBrowser.ts';
import { nightOver } from './sampleNight.ts';
import { watchedPage } from './watchedPage.ts';

const bundles = ['director', 'buyer', 'trainer'];

type Refused = Record<string, string> & { code: string; field: string };

let browser: Browser;
let folder: string;
/** The texts of every page, scripts and styles left out, and what stood there that is not ours. */
let texts: string;
let strangers: string[];
let faults: string[];
let refused: Map<string, Refused[]>;

beforeAll(async () => {
  [folder, browser] = await Promise.all([nightOver(hostileFiles()), openBrowser()]);
  refused = new Map(
    filesIn('rejects', '.rejects.csv').map((name) => [
      name.replace(/^.*\/|[.]csv[.]rejects[.]csv$/g, ''),
      parse(readFileSync(join(folder, 'rejects', name)), { columns: true, bom: true }) as Refused[],
    ]),
  );
  const watched = await watchedPage(browser);
  faults = watched.faults;
  const read = await readAll(watched.page);
  texts = read.map(({ text }) => text).join('\n');
  strangers = read.flatMap((page) => page.strangers);
  await watched.page.close();
});
afterAll(async () => {
  await browser.close();
});

const filesIn = (path: string, ending: string): string[] =>
  readdirSync(join(folder, path), { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith(ending),
  );

/** What every page of the three sites shows, with its charts drawn. */
const readAll = async (page: Page): Promise<{ text: string; strangers: string[] }[]> => {
  const read = [];
  for (const name of filesIn('current/published', '.html')) {
    await page.goto(`file://${join(folder, 'current/published', name)}`);
    if ((await page.locator('[data-chart]').count()) > 0)
      await page.waitForSelector('html[data-drawn]', { state: 'attached' });
    const { text, found } = await page.evaluate(() => {
      const walker = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
      const parts: string[] = [];
      for (let node = walker.nextNode(); node !== null; node = walker.nextNode())
        if (!/^(script|style)$/i.test(node.parentElement?.tagName ?? '')) parts.push(node.nodeValue ?? '');
      return {
        text: parts.join('\n'),
        found: Array.from(
          document.querySelectorAll(
            'script:not([src]):not([type="application/json"]), style, iframe, object, embed, img, form, base, video, audio, body marquee, template, [href^="javascript:" i], [autofocus]',
          ),
          (one) => one.outerHTML.slice(0, 80),
        ).concat(
          Array.from(document.querySelectorAll('*')).flatMap((one) =>
            one.getAttributeNames().filter((attribute) => attribute.startsWith('on')),
          ),
        ),
      };
    });
    read.push({ text, strangers: found.map((one) => `${name} ${one}`) });
  }
  return read;
};

/** A name as a page shows it where it is too long: its first 33 letters. */
const shortened = (text: string): string => (text.length > 34 ? `${text.slice(0, 33).trimEnd()}…` : text);

/** Whether a row with such a text was refused for it, under one of the codes, or was held back with its neighbor. */
const isRefused = (file: string, column: string, text: string, codes: readonly string[]): boolean =>
  (refused.get(file) ?? []).some(
    (row) =>
      row[column] === text &&
      ((row.field === column && codes.includes(row.code)) || row.code === 'test-held-back'),
  );

describe('texts that try to be scripts', () => {
  it('run nowhere: no dialog, no request, no element or handler of theirs on any page', () => {
    expect(faults).toEqual([]);
    expect(strangers).toEqual([]);
  });

  it.each(Object.keys(plantedFields))(
    'in %s stand on a page as text, or are refused by name, or stand nowhere',
    (field) => {
      const [file = '', column = ''] = field.split(' ');
      const isShown = plantedFields[field]?.isShown === true;
      const unaccounted = payloads.flatMap((_, i) => {
        const text = planted(field, i);
        const stands = texts.includes(text) || (field.endsWith('name') && texts.includes(shortened(text)));
        const mustBeRefused = file !== 'chain.yaml' && column !== 'note' && damaged.includes(i + 1);
        const isFine = mustBeRefused
          ? !stands && isRefused(file, column, text, ['text-damaged'])
          : stands === isShown;
        return isFine ? [] : [`${text}: ${stands ? 'shown' : 'not shown'}`];
      });
      expect(unaccounted).toEqual([]);
    },
  );

  it.each(
    Object.entries(closedColumns).flatMap(([file, columns]) =>
      Object.entries(columns).map(([column, code]) => [file, column, code] as const),
    ),
  )('are refused in column %s %s as %s', (file, column, code) => {
    const unaccounted = payloads.filter((text) => !isRefused(file, column, text, [code, 'text-damaged']));
    expect(unaccounted).toEqual([]);
  });

  it('are shown whole as the name of the chain', () => {
    for (const payload of payloads) expect(texts).toContain(payload);
  });

  it('stand in no script of a bundle as signs of markup', () => {
    for (const bundle of bundles) {
      const night = readFileSync(join(folder, 'current/published', bundle, 'night.js'), 'utf8');
      expect(night).toContain('alert(1)');
      expect(night).not.toMatch(/[<>]/);
    }
  });
});
