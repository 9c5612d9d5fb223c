import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser } from './openBrowser.ts';
import { type NightFiles, nightOver, sampleFiles } from './sampleNight.ts';
import { watchedPage } from './watchedPage.ts';

/** 40 ways to smuggle a script in a text. Each would call `alert`; quotes are doubled where a CSV needs it. */
const payloads = [
  '<script>alert(1)</script>',
  '</script><script>alert(2)</script>',
  '"><script>alert(3)</script>',
  "'><script>alert(4)</script>",
  '<img src=x onerror=alert(5)>',
  '"><img src=x onerror=alert(6)>',
  '<svg onload=alert(7)>',
  '<svg><script>alert(8)</script></svg>',
  '<body onload=alert(9)>',
  '<iframe src=javascript:alert(10)>',
  '<a href=javascript:alert(11)>x</a>',
  'javascript:alert(12)',
  '" onmouseover="alert(13)',
  "' onfocus='alert(14)' autofocus='",
  '<input autofocus onfocus=alert(15)>',
  '<details open ontoggle=alert(16)>',
  '<video><source onerror=alert(17)>',
  '<audio src=x onerror=alert(18)>',
  '<object data=javascript:alert(19)>',
  '<embed src=javascript:alert(20)>',
  '<math href=javascript:alert(21)>x</math>',
  '<marquee onstart=alert(22)>',
  '<style>@import url(javascript:alert(23))</style>',
  '<link rel=stylesheet href=javascript:alert(24)>',
  '<meta http-equiv=refresh content="0;url=javascript:alert(25)">',
  '<base href=javascript:alert(26)//>',
  '<form action=javascript:alert(27)><button>x</button></form>',
  '<!--><script>alert(28)</script>-->',
  '<![CDATA[<script>alert(29)</script>]]>',
  '<scr<script>ipt>alert(30)</scr</script>ipt>',
  '&lt;script&gt;alert(31)&lt;/script&gt;',
  '&#60;script&#62;alert(32)&#60;/script&#62;',
  '<ScRiPt>alert(33)</sCrIpT>',
  '<script/x>alert(34)</script>',
  '<template><script>alert(35)</script></template>',
  '<svg><animate onbegin=alert(36) attributeName=x dur=1s>',
  `$${'{alert(37)}'}`,
  '{{constructor.constructor("alert(38)")()}}',
  '\\u003cscript\\u003ealert(39)\\u003c/script\\u003e',
  '<noscript><p title="</noscript><img src=x onerror=alert(40)>">',
];

const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

/** Puts the payloads, in turn, into every free text of the stores' files, of the reference files, and of the chain file. */
const poisoned = (): NightFiles => {
  const files = sampleFiles(['s-007.csv', 's-011.csv', 's-001.csv', 's-006.csv', 's-021.csv']);
  const inOne = new Map<string, string>();
  let at = 0;
  const next = (): string => payloads[at++ % payloads.length] as string;
  for (const [name, bytes] of files) {
    if (!name.endsWith('.csv')) continue;
    const [head = '', ...lines] = bytes.toString('utf8').split(/\r?\n/);
    const fields = head.split(',');
    const free = fields.flatMap((field, i) =>
      ['supplier', 'plant', 'lot', 'note', 'cutter', 'name', 'region', 'by', 'witness', 'basis'].includes(
        field,
      )
        ? [i]
        : [],
    );
    const rows = lines.map((line) => {
      const cells = line.split(',');
      if (cells.length !== fields.length) return line;
      for (const i of free) {
        const key = `${fields[i]} ${cells[i]}`;
        if (!inOne.has(key)) inOne.set(key, fields[i] === 'cutter' ? `${cells[i]}${next()}` : next());
        if (cells[i] !== '' && fields[i] !== 'basis') cells[i] = quoted(inOne.get(key) as string);
      }
      return cells.join(',');
    });
    files.set(name, Buffer.from([head, ...rows].join('\n')));
  }
  const chain = (files.get('chain.yaml') as Buffer)
    .toString('utf8')
    .replace('Larkhill Provisions', () => JSON.stringify(payloads[0]))
    .replace('Beef rib, ribeye roll, lip-on', () => JSON.stringify(payloads[1]))
    .replaceAll(
      'method: whole steaks',
      () => `method: ${JSON.stringify(payloads[4])}, aliases: [whole steaks]`,
    )
    .replace('output: ribeye steak, class', 'output: ribeye steak, aliases: [RIBEYE], class')
    .replaceAll(/\bribeye steak\b(?! kg)/g, () => JSON.stringify(payloads[6]))
    .replace('[RIBEYE]', '[ribeye steak]');
  files.set('chain.yaml', Buffer.from(chain));
  return files;
};

describe('texts that try to be scripts', () => {
  let browser: Browser;
  let folder: string;

  beforeAll(async () => {
    [folder, browser] = await Promise.all([nightOver(poisoned()), openBrowser()]);
  });
  afterAll(async () => {
    await browser.close();
  });

  it('reach the pages as text and do nothing there', async () => {
    const { page, faults } = await watchedPage(browser);
    const shown = new Set<string>();
    for (const bundle of ['director', 'buyer', 'trainer']) {
      const names = readdirSync(join(folder, 'current/published', bundle)).filter((name) =>
        name.endsWith('.html'),
      );
      for (const name of names) {
        await page.goto(`file://${join(folder, 'current/published', bundle, name)}`);
        if ((await page.locator('[data-chart]').count()) > 0)
          await page.waitForSelector('html[data-drawn]', { state: 'attached' });
        const found = await page.evaluate(() => ({
          text: document.documentElement.textContent ?? '',
          strangers: document.querySelectorAll(
            'script:not([src]):not([type="application/json"]), [onerror], [onload], iframe, object, embed, img, form, base, [href^="javascript:"]',
          ).length,
        }));
        expect(`${name} ${found.strangers}`).toBe(`${name} 0`);
        for (const payload of payloads) if (found.text.includes(payload)) shown.add(payload);
      }
    }
    expect(faults).toEqual([]);
    expect(shown.size).toBeGreaterThan(20);
    await page.close();
  });

  it('stand in no bundle outside of quotes: every script of ours is one of ours', () => {
    for (const bundle of ['director', 'buyer', 'trainer']) {
      const night = readFileSync(join(folder, 'current/published', bundle, 'night.js'), 'utf8');
      expect(night).not.toMatch(/[<>]/);
    }
  });
});
