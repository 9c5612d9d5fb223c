import { cpSync, mkdtempSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { explain } from '../../pipelines/explain.ts';
import { type NightResult, nightly } from '../../pipelines/nightly.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { explainedLines } from '../../src/cli/explainedLines.ts';
import { breakEvenPrice } from '../../src/money/breakEvenPrice.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';

const bytesBelow = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder, { recursive: true })
      .map(String)
      .filter((name) => statSync(join(folder, name)).isFile())
      .sort()
      .map((name) => [name, readFileSync(join(folder, name), 'latin1')]),
  );

describe('published cutting-test sheets through the whole night', () => {
  const folder = join(mkdtempSync(join(tmpdir(), 'sheets-')), 'chain');
  const run = (): Promise<NightResult> =>
    nightly({
      chainFolder: folder,
      chain: readChain(folder, diskFileSystem),
      fs: diskFileSystem,
      asOfDay: dayFromIso('2026-01-10'),
      dryRun: false,
      progress: () => {},
    });
  let first: NightResult;
  const at = () => ({ chainFolder: folder, chain: readChain(folder, diskFileSystem), fs: diskFileSystem });
  const tests: Record<string, Record<string, string>> = {};
  let outputs: Record<string, string>[] = [];
  let methods: Record<string, string>[] = [];

  beforeAll(async () => {
    cpSync('test/cases/publishedSheets', folder, { recursive: true });
    first = await run();
    const read = (name: string): Record<string, string>[] =>
      parse(readFileSync(join(folder, 'current/results', name), 'utf8'), { columns: true });
    for (const row of read('tests.csv')) tests[row['test_id'] as string] = row;
    outputs = read('test-outputs.csv');
    methods = read('method-outputs.csv');
  });

  const value = (test: string, column: string): number => Number(tests[test]?.[column]);

  it('gives E1 (textbook butcher test, beef rib; secondary copy, answers computed)', () => {
    expect(value('E1', 'residual_cost')).toBeCloseTo(5.156136, 6);
    expect(value('E1', 'cost_factor')).toBeCloseTo(1.616344, 6);
    expect(value('E1', 'main_cut_yield') * 100).toBeCloseTo(56.774, 3);
  });

  it('gives the printed answers of E2 (lamb loin) and E3 (forequarter)', () => {
    expect(value('E2', 'residual_cost')).toBeCloseTo(11.1333, 4);
    expect(value('E2', 'cost_factor')).toBeCloseTo(1.6742, 4);
    expect(value('E3', 'residual_cost')).toBeCloseTo(11.4929, 4);
    expect(value('E3', 'cost_factor')).toBeCloseTo(2.554, 4);
  });

  it('gives 28.40 for E4, whose sheet prints 22.40 by mistake', () => {
    expect(value('E4', 'residual_cost') * 16).toBeCloseTo(28.4, 10);
    expect(value('E4', 'residual_cost')).toBeCloseTo(1.775, 10);
    expect(value('E4', 'cost_factor')).toBeCloseTo(1.3654, 4);
  });

  it('gives E8 (pork butt with purge; forum post, low authority) on billed weight, margin on sales', () => {
    expect(value('E8', 'purge_of_billed') * 100).toBeCloseTo(0.667, 3);
    expect(value('E8', 'unaccounted_of_billed') * 100).toBeCloseTo(1.333, 3);
    expect(value('E8', 'saleable_of_billed') * 100).toBeCloseTo(83, 3);
    expect(value('E8', 'margin_pct')).toBeCloseTo(44.08, 3);
    expect(value('E8', 'markup_pct')).toBeCloseTo(78.828, 3);
  });

  it('gives E10 (study notes, secondary copy): price at a margin on sales, and markup on cost of the same money', () => {
    const rows = methods.filter(
      (row) => row['item'] === 'E12 ribeye' && Number(row['price_at_target_margin']) > 0,
    );
    expect(rows.length).toBeGreaterThan(4);
    for (const row of rows) {
      const [cost, price] = [Number(row['cost_by_sales_value']), Number(row['price'])];
      expect(Number(row['price_at_target_margin'])).toBeCloseTo(cost / (1 - 0.3), 9);
      expect(price).toBeCloseTo(cost / (1 - Number(row['margin_of_sales'])), 9);
      expect(price).toBeCloseTo(cost * (1 + Number(row['markup_on_cost'])), 9);
    }
  });

  it('gives E11 (extension bulletin, read): price per take-home lb of a 300-lb side at 70, 55 and 85 %', () => {
    for (const [test, share] of [
      ['E11A', 0.7],
      ['E11B', 0.55],
      ['E11C', 0.85],
    ] as const) {
      expect(value(test, 'saleable_of_billed')).toBeCloseTo(share, 12);
      expect(value(test, 'cost_per_saleable')).toBeCloseTo(2 / share, 9);
    }
  });

  it('gives E12 (constructed): break-even prices of the cap and joint costs that add up', () => {
    const money = (test: string) => ({
      marginPerBilledKg: value(test, 'gross_margin') / 14,
      laborPerBilledKg: value(test, 'labor_cost') / 14,
    });
    const price = breakEvenPrice(money('E12A'), money('E12B'), {
      pricePerKg: 22.99,
      outputOfBilled: 2.3 / 14,
    });
    expect(price.withoutLabor).toBeCloseTo(25.3322, 4);
    expect(price.withLabor).toBeCloseTo(26.7235, 4);
    const own = outputs.filter((row) => row['test_id'] === 'E12B');
    expect(own.reduce((sum, row) => sum + Number(row['cost_by_sales_value']), 0)).toBeCloseTo(154, 9);
    expect(own.reduce((sum, row) => sum + Number(row['cost_by_weight']), 0)).toBeCloseTo(154, 9);
    for (const row of own.filter((line) => Number(line['sales_value']) > 0)) {
      expect(100 * (1 - Number(row['cost_by_sales_value']) / Number(row['sales_value']))).toBeCloseTo(
        18.253,
        3,
      );
    }
  });

  it('accounts for every row and changes nothing on a second run', async () => {
    for (const row of first.intake)
      expect(row.accepted + row.rejected + row.blank + row.ignored + row.duplicate + row.superseded).toBe(
        row.rowsRead,
      );
    const before = bytesBelow(join(folder, 'releases'));
    const second = await run();
    expect(second.filesIngested).toBe(0);
    expect(second.changed).toBe(false);
    expect(bytesBelow(join(folder, 'releases'))).toEqual(before);
  });

  it('walks a test back to file, lines and arithmetic', () => {
    const explained = explain('s/E1', at());
    expect(explained.kind).toBe('test');
    const lines = explainedLines(explained).join('\n');
    expect(lines).toContain('inbox/sheets.csv line 2');
    expect(lines).toContain('\n  2: E1 | s | c | 2026-01-05 | E1 rib | not given |  | 38-12 | drained |');
    expect(lines).toContain('residual cost per main lb 5.1561');
    expect(lines).toMatch(/main piece \(main cut\), line \d+: /);
    expect(lines).toContain('= expected');
    expect(lines).toContain('= measured');
  });

  it('walks a reject code to its remedy, and says so when nothing has the name', () => {
    expect(explain('cell-count', at())).toMatchObject({ kind: 'reject-code', rejects: [] });
    expect(explain('mass-balance', at())).toMatchObject({ kind: 'reason', tests: [{ test_id: 'E2' }] });
    expect(explain('decimal-suspect', at())).toEqual({ kind: 'reason', id: 'decimal-suspect', tests: [] });
    expect(() => explain('nothing', at())).toThrow(/nothing is called/);
  });

  it('keeps the cutter out of every byte of the director and buyer bundles', () => {
    for (const bundle of ['director', 'buyer']) {
      const text = Object.values(bytesBelow(join(folder, 'current/published', bundle))).join('\n');
      expect(text).not.toContain('cutter-');
    }
  });
});
