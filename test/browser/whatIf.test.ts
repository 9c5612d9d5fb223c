import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { kgPerLb } from '../../src/units/weight.ts';
import { openBrowser } from './openBrowser.ts';
import { type NightFiles, nightOver, sampleFiles } from './sampleNight.ts';
import { watchedPage } from './watchedPage.ts';

type Row = Record<string, string>;
/** A night on disk with its rows of indifference.csv. */
type Night = { folder: string; rows: Row[] };

let browser: Browser;
let first: Night;
let repriced: Night;
let metric: Night;

/** The typed price and labor rate that the second night has in its files. */
const typed = { price: '9.87', rate: '31.5' };

const run = async (change: (files: NightFiles) => void): Promise<Night> => {
  const files = sampleFiles(['1.csv', '2.csv', '3.csv']);
  change(files);
  const folder = await nightOver(files);
  const text = readFileSync(join(folder, 'current/results/indifference.csv'), 'utf8');
  return { folder, rows: parse(text, { columns: true }) };
};
const edit = (files: NightFiles, name: string, edited: (text: string) => string): void => {
  files.set(name, Buffer.from(edited((files.get(name) as Buffer).toString('utf8'))));
};
const inKilograms = (text: string): string =>
  text
    .replace('unit: lb\ntimezone', 'unit: kg\ntimezone')
    .replace('currency: USD', 'currency: EUR')
    .replace('language: en-US', 'language: de-DE')
    .replaceAll(
      /\b(from|to|weight|tolerance): ([\d.]+)/g,
      (_, key, pounds) => `${key}: ${(Number(pounds) * kgPerLb).toFixed(6)}`,
    );

const open = async ({ folder }: Night): Promise<{ page: Page; faults: string[] }> => {
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
const answer = (page: Page, key: string): Promise<string | null> =>
  page.locator(`[data-answer=${key}]`).textContent();
const choose = async (page: Page, row: Row): Promise<void> => {
  const items = await control(page, 'Item').locator('option').allTextContents();
  const item = items.find((name) => name.includes(row['item'] as string)) as string;
  await control(page, 'Item').selectOption(item);
  await control(page, 'Quoted').selectOption(offer(row, 'from'));
  await control(page, 'What is this worth?').selectOption(offer(row, 'to'));
};
/** Both answers on the page equal those of a row, to the cent. */
const agrees = async (page: Page, row: Row, language: string, currency = 'USD'): Promise<void> => {
  const format = new Intl.NumberFormat(language, { style: 'currency', currency });
  const cents = (column: string): string => format.format(Number(row[column]));
  expect(await answer(page, 'same-margin')).toBe(
    `${cents('same_margin')} (${cents('low')} to ${cents('high')})`,
  );
  expect(await answer(page, 'same-dollars')).toBe(
    `${cents('same_dollars')} (${cents('dollars_low')} to ${cents('dollars_high')})`,
  );
};
const answered = ({ rows }: Night): Row[] => rows.filter((row) => row['missing'] === '');

beforeAll(async () => {
  browser = await openBrowser();
  first = await run(() => {});
  repriced = await run((files) => {
    edit(files, 'reference/quotes.csv', (text) =>
      text.replace(/^(Tallgrass Packing,,112A,,Choice,13-15),[\d.]+/m, `$1,${typed.price}`),
    );
    edit(files, 'chain.yaml', (text) => text.replace('labor_per_hour: 24', `labor_per_hour: ${typed.rate}`));
  });
  metric = await run((files) => edit(files, 'chain.yaml', inKilograms));
});
afterAll(async () => {
  await browser.close();
});

describe('the what-if on the quotes page', () => {
  it('equals the pipeline to the cent for every pair of open quotes and ranges', async () => {
    const { page, faults } = await open(first);
    expect(answered(first).length).toBeGreaterThan(10);
    for (const row of answered(first)) {
      await choose(page, row);
      await agrees(page, row, 'en-US');
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  it('equals to the cent the pipeline run with the price and the labor rate that were typed', async () => {
    const { page, faults } = await open(first);
    const isTyped = (row: Row): boolean =>
      row['from'] === '13-15' && row['from_supplier'] === 'Tallgrass Packing' && row['item'] === '112A';
    const rows = answered(repriced).filter(isTyped);
    expect(rows.length).toBeGreaterThan(5);
    expect(Number(rows[0]?.['price_from'])).toBeCloseTo(Number(typed.price), 9);
    for (const row of rows) {
      await choose(page, row);
      await control(page, 'delivered').fill(typed.price);
      await control(page, 'Labor').fill(typed.rate);
      await agrees(page, row, 'en-US');
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  it('equals the pipeline in kilograms, euros and with decimal commas, for delivered and FOB quotes', async () => {
    const { page, faults } = await open(metric);
    const rows = answered(metric);
    expect(new Set(rows.map((row) => row['from_supplier'])).size).toBe(3);
    for (const row of rows) {
      await choose(page, row);
      await agrees(page, row, 'de-DE', 'EUR');
    }
    expect(faults).toEqual([]);
    await page.close();
  });

  it('answers a typed price from the keyboard alone, and keeps it in the address', async () => {
    const { page, faults } = await open(first);
    const price = control(page, 'delivered');
    await control(page, 'Item').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    expect(await price.evaluate((input) => input === document.activeElement)).toBe(true);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('10');
    const worth = async () => Number.parseFloat(String(await answer(page, 'same-margin')).slice(1));
    const ten = await worth();
    await page.keyboard.press('Control+A');
    await page.keyboard.type('20');
    expect((await worth()) / ten).toBeCloseTo(2, 2);
    await page.keyboard.press('Tab');
    const before = await page.locator('.what-if .lead').textContent();
    await page.keyboard.press('ArrowUp');
    expect(await page.locator('.what-if .lead').textContent()).not.toBe(before);
    expect(page.url()).toContain('what.price=20');
    const kept = await page.locator('.what-if .lead').textContent();
    await page.reload();
    await page.waitForSelector('.what-if .lead');
    expect(await page.locator('.what-if .lead').textContent()).toBe(kept);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('begins with the quote that leaves the most, and asks what the next is worth beside it', async () => {
    const { page } = await open(first);
    const quotes = await page
      .locator('[data-figure="What each quote leaves"]')
      .first()
      .locator('tbody tr td:first-child')
      .allTextContents();
    const partsOf = (text = ''): string[] => text.split(/[ ,]+/).sort();
    for (const [label, quote] of [
      ['Quoted', quotes[0]],
      ['What is this worth?', quotes[1]],
    ] as const)
      expect(partsOf(await control(page, label).inputValue()), label).toEqual(
        expect.arrayContaining(partsOf(quote)),
      );
    await page.close();
  });

  it('asks for what it needs instead of guessing', async () => {
    const { page } = await open(first);
    await control(page, 'delivered').fill('');
    expect(await page.locator('.what-if [role=status]').textContent()).toBe('Type the price that is quoted.');
    await control(page, 'delivered').fill('10');
    const same = await control(page, 'Quoted').inputValue();
    await control(page, 'What is this worth?').selectOption(same);
    expect(await page.locator('.what-if [role=status]').textContent()).toBe('Choose two different offers.');
    await page.close();
  });
});
