import { render } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { columns, DataTable, dayCell } from '../../../src/publish/pages/dataTable.tsx';
import { formats } from '../../../src/publish/pages/formats.ts';

const table = (rows: string[][]) =>
  render(<DataTable table={{ caption: 'Ranges', columns: columns('Range', 'Quote', '#Tests'), rows }} />);

describe('a table', () => {
  it('leaves a column out where no row says anything in it, and only there', () => {
    expect(
      table([
        ['11-13', '', '0'],
        ['13-15', '', '7'],
      ]),
    ).not.toContain('Quote');
    expect(
      table([
        ['11-13', '', '0'],
        ['13-15', '$9', '7'],
      ]),
    ).toMatch(/Quote.*<td class="s"><\/td><td class="n">0<.*\$9/s);
    expect(table([])).toContain('Quote');
  });
  it('keeps a short text on one line and lets a long one break', () => {
    const shown = table([['s-001', 'a supplier of many words', '1']]);
    expect(shown).toContain('<td class="s">s-001</td>');
    expect(shown).toContain('<td>a supplier of many words</td>');
  });
  it('writes a day as its readers do and keeps how it is sorted', () => {
    const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
    const rows = [[dayCell('2026-11-23', write)], [dayCell('2026-11-24', write)]];
    const shown = render(<DataTable table={{ caption: 'Days', columns: columns('Day'), rows }} />);
    expect(shown).toContain('data-order="2026-11-23">Nov 23, 2026</td>');
    expect(dayCell('', write)).toBe('');
  });
  it('of many columns names the head in each cell, so that a narrow screen can stack them', () => {
    const wide = (...heads: string[]) =>
      render(<DataTable table={{ caption: 'Lots', columns: columns(...heads), rows: [heads] }} />);
    expect(wide('Lot', 'Item', '#Share', '#Paid')).toMatch(
      /<table class="stack">.*<td class="n" data-head="Paid">/s,
    );
    expect(wide('Lot', 'Item', '#Paid')).not.toMatch(/class="stack"|data-head/);
  });
});
