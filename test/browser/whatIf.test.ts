import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openBrowser } from './openBrowser.ts';
import { nightOver, sampleFiles } from './sampleNight.ts';
import { watchedPage } from './watchedPage.ts';

type Row = Record<string, string>;

let browser: Browser;
let folder: string;
let rows: Row[];

const open = async (): Promise<{ page: Page; faults: string[] }> => {
  const watched = await watchedPage(browser);
  await watched.page.goto(`file://${join(folder, 'current/published/buyer/quotes.html')}`);
  await watched.page.waitForSelector('.what-if select');
  return watched;
};
const control = (page: Page, label: string) => page.locator('.what-if').getByLabel(label);
const offer = (row: Row, side: 'from' | 'to'): string =>
  [row[side], row[`${side}_spec`], row[`${side}_grade`], 'fresh', row[`${side}_supplier`]]
    .filter((part) => part !== '')
    .join(', ');
const cents = (text: string | undefined): string => Number(text).toFixed(2);
const answer = (page: Page, key: string): Promise<string | null> =>
  page.locator(`[data-answer=${key}]`).textContent();

beforeAll(async () => {
  const [night, opened] = await Promise.all([
    nightOver(sampleFiles(['1.csv', '2.csv', '3.csv'])),
    openBrowser(),
  ]);
  folder = night;
  browser = opened;
  rows = parse(readFileSync(join(folder, 'current/results/indifference.csv'), 'utf8'), { columns: true });
});
afterAll(async () => {
  await browser.close();
});

describe('the what-if on the quotes page', () => {
  it('equals the pipeline to the cent for every pair of open quotes and ranges', async () => {
    const { page, faults } = await open();
    const answered = rows.filter((row) => row['missing'] === '');
    expect(answered.length).toBeGreaterThan(10);
    for (const row of answered) {
      const items = await control(page, 'Item').locator('option').allTextContents();
      const item = items.find((name) => name.endsWith(`(${row['item']})`)) as string;
      await control(page, 'Item').selectOption(item);
      await control(page, 'Quoted').selectOption(offer(row, 'from'));
      await control(page, 'What is this worth?').selectOption(offer(row, 'to'));
      expect(await answer(page, 'same-margin')).toBe(
        `${cents(row['same_margin'])} (${cents(row['low'])} to ${cents(row['high'])})`,
      );
      expect(await answer(page, 'same-dollars')).toBe(
        `${cents(row['same_dollars'])} (${cents(row['dollars_low'])} to ${cents(row['dollars_high'])})`,
      );
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  it('answers a typed price from the keyboard alone, and keeps it in the address', async () => {
    const { page, faults } = await open();
    const price = control(page, 'delivered');
    await control(page, 'Item').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    expect(await price.evaluate((input) => input === document.activeElement)).toBe(true);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('10');
    const ten = Number.parseFloat(String(await answer(page, 'same-margin')));
    await page.keyboard.press('Control+A');
    await page.keyboard.type('20');
    const twenty = Number.parseFloat(String(await answer(page, 'same-margin')));
    expect(twenty / ten).toBeCloseTo(2, 2);
    await page.keyboard.press('Tab');
    const before = await page.locator('.what-if .lead').textContent();
    await page.keyboard.press('ArrowDown');
    expect(await page.locator('.what-if .lead').textContent()).not.toBe(before);
    expect(page.url()).toContain('what.price=20');
    const kept = await page.locator('.what-if .lead').textContent();
    await page.reload();
    await page.waitForSelector('.what-if .lead');
    expect(await page.locator('.what-if .lead').textContent()).toBe(kept);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('asks for what it needs instead of guessing', async () => {
    const { page } = await open();
    await control(page, 'delivered').fill('');
    expect(await page.locator('.what-if [role=status]').textContent()).toBe('Type the price that is quoted.');
    await control(page, 'delivered').fill('10');
    const same = await control(page, 'Quoted').inputValue();
    await control(page, 'What is this worth?').selectOption(same);
    expect(await page.locator('.what-if [role=status]').textContent()).toBe('Choose two different offers.');
    await page.close();
  });
});
