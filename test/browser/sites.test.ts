import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser } from './openBrowser.ts';
import { nightOver, sampleFiles } from './sampleNight.ts';
import { watchedPage } from './watchedPage.ts';

let browser: Browser;
let sites: string;
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Every page of the small bundles, and of the trainer's many one of each type. */
const pageTypes = (): string[] => {
  const pages = (bundle: string): string[] =>
    readdirSync(join(sites, bundle)).filter((name) => name.endsWith('.html'));
  const trainer = pages('trainer');
  const ofHabit = /cutter-[0-9a-f]+\.html/.exec(readFileSync(join(sites, 'trainer/index.html'), 'utf8'))?.[0];
  const chosen = [
    'index.html',
    'people.html',
    'intake.html',
    'method.html',
    'store-s-010.html',
    'store-s-022.html',
    ofHabit,
    trainer.find((name) => name.startsWith('cutter-')),
  ];
  return [
    ...pages('director').map((name) => `director/${name}`),
    ...pages('buyer').map((name) => `buyer/${name}`),
    ...[...new Set(chosen)].filter((name) => name !== undefined).map((name) => `trainer/${name}`),
  ];
};

const open = async (page: Page, path: string): Promise<void> => {
  await page.goto(`file://${join(sites, path)}`);
  if ((await page.locator('[data-chart]').count()) > 0)
    await page.waitForSelector('html[data-drawn]', { state: 'attached' });
};

beforeAll(async () => {
  const [folder, opened] = await Promise.all([nightOver(sampleFiles()), openBrowser()]);
  sites = join(folder, 'current/published');
  browser = opened;
});
afterAll(async () => {
  await browser.close();
});

describe('every page type in a browser', () => {
  it.each([
    ['light', 320],
    ['dark', 768],
    ['light', 1280],
  ] as const)(
    'opens from the disk in %s at %i px without a fault, a request or sideways scroll',
    async (colorScheme, width) => {
      const { page, faults } = await watchedPage(browser, { colorScheme, viewport: { width, height: 900 } });
      for (const path of pageTypes()) {
        await open(page, path);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        expect(`${path} ${over}`).toBe(`${path} 0`);
      }
      expect(faults).toEqual([]);
      await page.close();
    },
  );

  it.each(['light', 'dark'] as const)(
    'has no accessibility violation of any impact (axe), every table open, %s',
    async (colorScheme) => {
      const context = await browser.newContext({ colorScheme, bypassCSP: true });
      const page = await context.newPage();
      const found: string[] = [];
      for (const path of pageTypes()) {
        await open(page, path);
        await page.$$eval('details', (all) => {
          for (const one of all) (one as HTMLDetailsElement).open = true;
        });
        await page.addScriptTag({ content: axe });
        const violations = await page.evaluate(async () => {
          const tool = (
            globalThis as unknown as {
              axe: {
                run: (c: object) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
              };
            }
          ).axe;
          const { violations } = await tool.run({ exclude: ['figure svg'] });
          return violations.map((one) => `${one.id}: ${one.nodes[0]?.html}`);
        });
        found.push(...violations.map((text) => `${path} ${text}`));
      }
      expect(found).toEqual([]);
      await context.close();
    },
  );

  it('shows every cell of every table at 320 px without moving it sideways', async () => {
    const page = await browser.newPage({ viewport: { width: 320, height: 900 } });
    let tables = 0;
    for (const path of pageTypes()) {
      await open(page, path);
      const found = await page.evaluate(() => {
        for (const one of Array.from(document.querySelectorAll('details'))) one.open = true;
        const boxes = Array.from(document.querySelectorAll('.scroll'));
        return {
          count: boxes.length,
          cut: boxes
            .filter((box) => box.scrollWidth > box.clientWidth)
            .map((box) => `${box.getAttribute('aria-label')}: ${box.scrollWidth} of ${box.clientWidth}`),
        };
      });
      tables += found.count;
      expect(found.cut, path).toEqual([]);
    }
    expect(tables).toBeGreaterThan(50);
    await page.close();
  });

  it('gives each figure its unit, number of tests, way to read it, and a table with numbers', async () => {
    const page = await browser.newPage();
    for (const path of pageTypes()) {
      await open(page, path);
      const figures = await page.$$eval('figure', (all) =>
        all.map((figure) => ({
          title: figure.querySelector('h3')?.textContent ?? '',
          counted: figure.querySelector('.counted')?.textContent ?? '',
          read: figure.querySelector('.read')?.textContent ?? '',
          drawn: figure.querySelectorAll('svg').length,
          rows: figure.querySelectorAll('tbody tr').length,
          marks: figure.querySelectorAll('.wide svg path, .plot > svg path').length,
        })),
      );
      for (const figure of figures) {
        expect(figure.title).not.toBe('');
        expect(figure.counted).toMatch(/\d/);
        expect(figure.read).toMatch(/[.]$/);
        expect(figure.drawn > 0).toBe(figure.rows > 0);
        expect(figure.marks).toBeLessThanOrEqual(2000);
      }
    }
    await page.close();
  });

  it('shows its first content and draws all charts in time', async () => {
    const page = await browser.newPage();
    await open(page, pageTypes().at(-2) as string);
    const times = await page.evaluate(() => ({
      paint: performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? Number.NaN,
      drawn: performance.getEntriesByName('drawn')[0]?.startTime ?? Number.NaN,
    }));
    console.log(`first content ${times.paint.toFixed(0)} ms, all charts drawn ${times.drawn.toFixed(0)} ms`);
    expect(times.paint).toBeLessThan(5000);
    expect(times.drawn).toBeLessThan(10_000);
    await page.close();
  });
});

describe('what a reader does', () => {
  it('finds a store from the keyboard and lands on its plan', async () => {
    const page = await browser.newPage();
    await open(page, 'trainer/index.html');
    await page.keyboard.press('/');
    await page.keyboard.type('s-010');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowUp');
    await Promise.all([page.waitForURL(/store-s-010\.html/), page.keyboard.press('Enter')]);
    expect(await page.locator('h1').textContent()).toContain('Quay Street 10');
    await page.close();
  });

  it('keeps filter and order in the address, and a copy of the address shows the same', async () => {
    const page = await browser.newPage();
    await open(page, 'director/stores.html');
    await page.getByLabel('State').selectOption('silent');
    await page.getByRole('button', { name: 'Tests' }).click();
    const rows = (): Promise<string[]> =>
      page.$$eval('#stores tbody tr', (all) =>
        all.filter((row) => !(row as HTMLElement).hidden).map((row) => row.textContent ?? ''),
      );
    const shown = await rows();
    expect(shown.length).toBeGreaterThan(0);
    expect(shown.every((text) => text.includes('silent'))).toBe(true);
    const address = page.url();
    expect(address).toContain('stores.state=silent');
    await page.goto('about:blank');
    await page.goto(address);
    expect(await rows()).toEqual(shown);
    await page.close();
  });

  it('sorts days by the calendar, not by the name of the month', async () => {
    const page = await browser.newPage();
    await open(page, 'director/stores.html');
    await page.getByRole('button', { name: 'Last test' }).click();
    const days = (await page.locator('#stores td[data-order]').allTextContents()).map((day) =>
      Date.parse(day),
    );
    expect(new Set(days).size).toBeGreaterThan(2);
    expect(days).toEqual([...days].sort((a, b) => a - b));
    await page.close();
  });

  it('saves a figure as SVG, PNG and CSV', async () => {
    const page = await browser.newPage({ acceptDownloads: true });
    await open(page, 'director/index.html');
    const figure = page.locator('figure:has(svg)').first();
    for (const kind of ['SVG', 'PNG', 'CSV']) {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        figure.getByRole('button', { name: new RegExp(`^${kind}`) }).click(),
      ]);
      const bytes = readFileSync(await download.path());
      if (kind === 'SVG') expect(bytes.toString('utf8')).toMatch(/^<svg[^>]*xmlns/);
      if (kind === 'PNG') expect([...bytes.subarray(0, 4)]).toEqual([0x89, 0x50, 0x4e, 0x47]);
      if (kind === 'CSV') expect(bytes.toString('utf8').split('\r\n').length).toBeGreaterThan(2);
    }
    await page.close();
  });

  it('is told when the copy is old by the reader’s own clock', async () => {
    const page = await browser.newPage();
    await page.clock.setFixedTime(new Date('2026-11-24T08:00:00Z'));
    await open(page, 'buyer/index.html');
    expect(await page.locator('.stale').isVisible()).toBe(false);
    await page.clock.setFixedTime(new Date('2026-12-24T08:00:00Z'));
    await page.reload();
    expect(await page.locator('.stale').textContent()).toContain('31 days old');
    await page.close();
  });

  it.each(['A4', 'Letter'] as const)('prints a sheet to one page of %s and cuts no chart', async (format) => {
    const { width, height } = room[format];
    const page = await browser.newPage({ viewport: { width, height } });
    await page.emulateMedia({ media: 'print' });
    let charts = 0;
    for (const path of pageTypes()) {
      await open(page, path);
      const pdf = (await page.pdf({ format })).toString('latin1');
      const pages = (pdf.match(/\/Type\s*\/Page\b/g) ?? []).length;
      if (/sheet/.test(path)) expect(`${path} ${pages}`).toBe(`${path} 1`);
      const found = await page.evaluate(inColumns, room[format]);
      charts += found.charts;
      // that the columns break where the printed pages do is what makes the rest a proof
      expect(`${path} ${found.columns} pages, ${found.over} too wide`).toBe(
        `${path} ${pages} pages, 0 too wide`,
      );
      expect(found.cut, path).toEqual([]);
    }
    expect(charts).toBeGreaterThan(50);
    await page.close();
  });
});

/** What a sheet of paper holds within its margins of 14 mm, in pixels of 1/96 inch, rounded down. */
const room = { A4: { width: 687, height: 1016 }, Letter: { width: 710, height: 950 } };

/**
 * Lays the page out in columns of a sheet's room, side by side, which break where its printed pages do. Returns how many
 * there are, how far the page is wider than one, and each drawing that lies in more than one or reaches beyond its edges.
 */
const inColumns = ({ width, height }: { width: number; height: number }) => {
  const over = document.documentElement.scrollWidth - innerWidth;
  document.documentElement.style.height = `${height}px`;
  document.body.style.cssText = `margin:0;padding:0;max-width:none;width:${width}px;height:${height}px;column-width:${width}px;column-gap:0;column-fill:auto`;
  const { top, left } = document.body.getBoundingClientRect();
  const columnOf = (x: number): number => Math.floor((x - left) / width);
  const drawn = Array.from(document.querySelectorAll('figure svg, figure canvas')).filter(
    (one) => one.getClientRects().length > 0,
  );
  const cut = drawn.filter((one) => {
    const pieces = Array.from(one.getClientRects());
    return (
      pieces.length > 1 ||
      pieces.some(
        (piece) =>
          piece.top < top - 0.5 ||
          piece.bottom > top + height + 0.5 ||
          columnOf(piece.left + 0.5) !== columnOf(piece.right - 0.5),
      )
    );
  });
  return {
    over,
    columns: Math.round(document.body.scrollWidth / width),
    charts: drawn.length,
    cut: cut.map((one) => one.closest('figure')?.dataset['figure'] ?? ''),
  };
};
