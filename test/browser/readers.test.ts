import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { readCodeKey } from '../../src/publish/readCodeKey.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { keyedCode } from '../../src/system/keyedCode.ts';
import { openBrowser } from './openBrowser.ts';
import { nightOver, sampleFiles } from './sampleNight.ts';

let browser: Browser;
let folder: string;
const published = (path: string): string => `file://${join(folder, 'current/published', path)}`;
const codeOf = (cutter: string): string =>
  keyedCode(readCodeKey(folder, readChain(folder, diskFileSystem), diskFileSystem), cutter);

beforeAll(async () => {
  [folder, browser] = await Promise.all([nightOver(sampleFiles()), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
});

type Story = {
  name: string;
  reader: 'director' | 'trainer' | 'buyer';
  /** What the home page itself says of it; '' when a link leads there unsaid. */
  home: string | (() => string);
  /** Links to click from the home page, by their text. */
  clicks: (string | (() => string))[];
  /** What the page says where they lead. */
  there: RegExp;
};
const text = (given: string | (() => string)): string => (typeof given === 'string' ? given : given());

const stories: Story[] = [
  {
    name: '1 a cutter over-trims the ribeye',
    reader: 'trainer',
    home: () => `Cut beside cutter ${codeOf('c-0485')}: leave more main cut on`,
    clicks: [() => `Page to show cutter ${codeOf('c-0485')}`],
    there: /below expected.*112A/s,
  },
  {
    name: '2 a whole room over-trims, told to the trainer',
    reader: 'trainer',
    home: 'Cut with the whole room at Quay Street 10',
    clicks: ['Visit plan for Quay Street 10'],
    there: /the whole room trims too deep on top sirloin butt boneless \(184\)/i,
  },
  {
    name: '2 a whole room over-trims, told to the director',
    reader: 'director',
    home: 'the whole room trims too deep on top sirloin butt boneless (184)',
    clicks: ['Quay Street 10 among all stores'],
    there: /Quay Street 10.*\$\d+/s,
  },
  {
    name: '3 a trim tub is not weighed',
    reader: 'trainer',
    home: () => `Weigh the trim tub with cutter ${codeOf('c-0702')}`,
    clicks: [() => `Page to show cutter ${codeOf('c-0702')}`],
    there: /unaccounted than expected.*Is the trim tub not weighed\?/s,
  },
  {
    name: '4 a supplier’s high purge',
    reader: 'buyer',
    home: 'Claim purge from Millrace Meats',
    clicks: ['Lots to name'],
    there: /lots above usual/,
  },
  {
    name: '5 a store that weighs drained: no finding about its room',
    reader: 'trainer',
    home: 'Pier Street 7',
    clicks: ['Pier Street 7'],
    there: /Nothing stands out/,
  },
  {
    name: '6 an ad week moves no person’s money: one regular price list',
    reader: 'trainer',
    home: '',
    clicks: ['Method'],
    there: /at one regular price list/,
  },
  {
    name: '7 coaching that worked',
    reader: 'trainer',
    home: () => `Cutter ${codeOf('c-0611')} on strip loin boneless (180): coaching worked`,
    clicks: ['See the tests'],
    there: /coaching worked/i,
  },
  {
    name: '8 cap and eye does not pay, told to the director',
    reader: 'director',
    home: 'by “whole steaks”, not “cap and eye”',
    clicks: ['Ways of cutting compared'],
    there: /cap and eye.*ribeye eye.*\$20/s,
  },
  {
    name: '8 cap and eye does not pay, told to the buyer',
    reader: 'buyer',
    home: '',
    clicks: ['Cutting'],
    there: /whole steaks.*more per billed lb than “cap and eye”/s,
  },
  {
    name: '9 ribeyes get heavier',
    reader: 'buyer',
    home: 'Ask for lighter pieces of rib, ribeye roll, lip-on (112A)',
    clicks: ['Piece weight by month'],
    there: /pieces get heavier/i,
  },
  {
    name: '10 steaks over their size',
    reader: 'trainer',
    home: () => `Check portion weights with cutter ${codeOf('c-0436')}`,
    clicks: [() => `Page to show cutter ${codeOf('c-0436')}`],
    there: /pieces of strip steak .* were too heavy/,
  },
  {
    name: 'a silent store',
    reader: 'director',
    home: 'Ask Quay Street 22 for test sheets',
    clicks: ['All stores'],
    there: /Quay Street 22 has sent nothing lately/,
  },
];

describe('every story of the sample chain', () => {
  it.each(stories)('$name: at most two clicks from the $reader’s first page', async (story) => {
    const page = await browser.newPage();
    await page.goto(published(`${story.reader}/index.html`));
    const path = [`${story.reader}/index.html`];
    if (story.home !== '') expect(await page.locator('main').textContent()).toContain(text(story.home));
    for (const click of story.clicks) {
      await page
        .getByRole('link', { name: text(click), exact: true })
        .first()
        .click();
      path.push(`“${text(click)}”`);
    }
    expect(story.clicks.length).toBeLessThanOrEqual(2);
    expect(await page.locator('main').textContent()).toMatch(story.there);
    console.log(`${story.name}: ${path.join(' > ')} > ${page.url().split('/').at(-1)}`);
    await page.close();
  });
});

/** One page of each type of each bundle. */
const onePages = (): string[] => {
  const kinds = new Map<string, string>();
  for (const bundle of ['director', 'buyer', 'trainer'])
    for (const name of readdirSync(join(folder, 'current/published', bundle)))
      if (name.endsWith('.html')) kinds.set(`${bundle}/${name.replace(/-.*/, '')}`, `${bundle}/${name}`);
  return [...kinds.values()];
};

const open = async (page: Page, path: string): Promise<void> => {
  await page.goto(published(path));
  if ((await page.locator('[data-chart]').count()) > 0)
    await page.waitForSelector('html[data-drawn]', { state: 'attached' });
};

describe('readers who do not see or point as most do', () => {
  it('reach every control by the tab key, each with a mark around it', async () => {
    const page = await browser.newPage();
    for (const path of onePages()) {
      await open(page, path);
      const reached = await page.evaluate(() => {
        const inOrder = Array.from(
          document.querySelectorAll<HTMLElement>('a[href], button, input, select, summary, [tabindex="0"]'),
        );
        return inOrder.filter((one) => one.checkVisibility()).length;
      });
      const seen = new Set<string>();
      for (let i = 0; i < reached + 1; i++) {
        await page.keyboard.press('Tab');
        const at = await page.evaluate(() => {
          const one = document.activeElement as HTMLElement;
          if (one === document.body) return '';
          const all = Array.from(document.querySelectorAll('*'));
          const { outlineStyle, outlineWidth } = getComputedStyle(one);
          return `${all.indexOf(one)} ${outlineStyle === 'none' || outlineWidth === '0px' ? 'unmarked' : 'marked'}`;
        });
        if (at !== '') seen.add(at);
      }
      expect(`${path} ${seen.size}`).toBe(`${path} ${reached}`);
      expect(
        [...seen].filter((at) => at.endsWith('unmarked')),
        path,
      ).toEqual([]);
    }
    await page.close();
  });

  it('read at 200 %: half the room, or letters twice as large, without sideways scroll or lost text', async () => {
    for (const size of ['page', 'letters'] as const) {
      const viewport = size === 'page' ? { width: 640, height: 450 } : { width: 1280, height: 900 };
      const page = await browser.newPage({ viewport, deviceScaleFactor: size === 'page' ? 2 : 1 });
      for (const path of onePages()) {
        await open(page, path);
        if (size === 'letters')
          await page.evaluate(() => document.documentElement.style.setProperty('font-size', '200%'));
        const found = await page.evaluate(() => ({
          over: document.documentElement.scrollWidth - innerWidth,
          cut: Array.from(document.querySelectorAll<HTMLElement>('main *'))
            .filter((one) => !one.closest('.scroll') && !one.closest('svg'))
            .filter(
              (one) => one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflowX === 'hidden',
            )
            .map((one) => one.tagName),
        }));
        expect(`${path} ${size} ${found.over}`).toBe(`${path} ${size} 0`);
        expect(found.cut, path).toEqual([]);
      }
      await page.close();
    }
  });

  it('meet at most 2,000 marks on a page', async () => {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    let most = { path: '', marks: 0 };
    for (const path of onePages()) {
      await open(page, path);
      const marks = await page.$$eval(
        'figure svg .role-mark path, figure svg .role-mark text, figure svg .role-mark line',
        (all) => all.filter((mark) => mark.getClientRects().length > 0).length,
      );
      if (marks > most.marks) most = { path, marks };
    }
    console.log(`most marks on a page: ${most.marks} (${most.path})`);
    expect(most.marks).toBeGreaterThan(100);
    expect(most.marks).toBeLessThanOrEqual(2000);
    await page.close();
  });

  it('see every drawing whole within its card, on narrow, middle and wide screens', async () => {
    for (const width of [320, 768, 1280]) {
      const page = await browser.newPage({ viewport: { width, height: 900 } });
      for (const path of onePages()) {
        await open(page, path);
        const outside = await page.$$eval(
          'figure svg',
          (all) =>
            all
              .filter((svg) => svg.getClientRects().length > 0)
              .filter((svg) => {
                const [own, card] = [
                  svg.getBoundingClientRect(),
                  (svg.closest('figure') as Element).getBoundingClientRect(),
                ];
                return own.right > card.right + 0.5 || own.left < card.left - 0.5;
              }).length,
        );
        expect(`${path} ${width} ${outside}`).toBe(`${path} ${width} 0`);
      }
      await page.close();
    }
  });
});

describe('what the bundles weigh', () => {
  it('holds each first page to 500 KB and 150 KB gzipped, and the runtime to 200 KB gzipped, once a bundle', () => {
    const read = (path: string): Buffer => readFileSync(join(folder, 'current/published', path));
    for (const bundle of ['director', 'trainer', 'buyer']) {
      const whole = Buffer.concat(
        ['index.html', 'style.css', 'page.js', 'night.js'].map((name) => read(`${bundle}/${name}`)),
      );
      const zipped = gzipSync(whole).length;
      console.log(
        `${bundle}: first page, style, script and night ${kb(whole.length)}, ${kb(zipped)} gzipped`,
      );
      expect(whole.length).toBeLessThan(500_000);
      expect(zipped).toBeLessThan(150_000);
    }
    const runtime = gzipSync(read('trainer/runtime.js')).length;
    console.log(`runtime ${kb(runtime)} gzipped`);
    expect(runtime).toBeLessThan(200_000);
  });
});

const kb = (bytes: number): string => `${(bytes / 1000).toFixed(0)} KB`;
