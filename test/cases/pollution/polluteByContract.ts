import { type PollutedFile, polluter, written } from './polluter.ts';

const inPounds = ['billed_weight', 'received_weight', 'purge_weight', 'output_weight'];

/** Polluted copies of one who knows the contract only: what it allows at its edges, and what it does not foresee. */
export const contractFiles = (clean: string): PollutedFile[] => {
  const { header, lines, at, idOf, add, all, refused, edited, cell, field, withLines, withColumn, files } = polluter(clean);
  /** A further column that says something of the first test only. */
  const ofFirst = (name: string, value: (row: number) => string): string =>
    written(withColumn(name, (row) => (idOf(row) === idOf(1) ? value(row) : '')));
  const poundsAndOunces = (weight: (text: string) => string): string =>
    written(
      edited((own) => {
        for (const row of own)
          if (row[0] === idOf(1)) {
            for (const name of inPounds) if (row[at(name)] !== '') row[at(name)] = weight(row[at(name)] as string);
            row[at('unit')] = 'lb-oz';
          }
      }),
    );
  const ounces = (text: string): string => (16 * (Number(text) % 1)).toFixed(2);

  // Optional fields
  add('optional fields', 'revised tomorrow', ofFirst('revised_on', () => '2026-11-24'), refused('date-future', 1));
  add('optional fields', 'revised on two days', ofFirst('revised_on', (row) => `2026-03-0${row}`), refused('test-fields-differ', 1));
  add('optional fields', 'packed in 2062', ofFirst('pack_date', () => '2062-01-01'), refused('date-future', 1));
  add('optional fields', 'no piece in the box', ofFirst('pieces_in', () => '0'), refused('number-out-of-range', 1));
  add('optional fields', 'two and a half pieces', ofFirst('pieces_in', () => '2.5'), refused('number-invalid', 1));
  add('optional fields', 'a reason of its own', ofFirst('reason', () => 'because'), refused('choice-invalid', 1));
  add('optional fields', 'a reason in capitals', written(withColumn('reason', () => 'ROUTINE')), all, { like: written(withColumn('reason', () => 'routine')) });
  add('optional fields', 'minutes as hours, minutes and seconds', written(field(1, 'minutes', '0:06:18')), refused('number-invalid', 1));
  add('optional fields', 'minutes below nothing', written(field(1, 'minutes', '-5')), refused('number-out-of-range', 1));
  add('optional fields', 'a cost below nothing', written(field(1, 'unit_cost', '-3')), refused('number-out-of-range', 1));
  add('optional fields', 'pieces below nothing', written(cell(1, 'pieces', '-12')), refused('number-out-of-range', 1));

  // Texts that look alike
  for (const [name, text] of [['a no-break space', 'Millrace\u00a0Meats'], ['two spaces', 'Millrace  Meats'], ['a thin space', 'Millrace\u2009Meats']] as const)
    add('texts that look alike', `${name} in the supplier`, written(field(1, 'supplier', text)), all);
  add('texts that look alike', 'a tab in the store', written(field(1, 'store', 's\t002')), [refused('control-character', 1), refused('control-character', 1, 5)]);
  add('texts that look alike', 'grade in small letters', written(field(5, 'grade', 'choice')), all);
  add('texts that look alike', 'a mark behind the grade', written(field(5, 'grade', 'Choice*')), refused('grade-unknown', 5));
  add('texts that look alike', 'a full stop behind the output', written(cell(2, 'output', 'lean trim.')), refused('output-unknown', 2));
  add('texts that look alike', 'a right-to-left mark behind the output', written(cell(1, 'output', 'ribeye steak\u200f')), refused('control-character', 1));
  add('texts that look alike', 'a vertical tab in a note', written(cell(1, 'note', 'a\u000bb')), refused('control-character', 1));

  // Numbers and dates at the edge
  add('edges of numbers', 'no digit before the point', written(field(1, 'purge_weight', '.13')), all);
  add('edges of numbers', 'zeros behind', written(field(1, 'received_weight', '12.7500000')), all);
  add('edges of numbers', 'minus nothing', written(field(1, 'purge_weight', '-0')), all, { like: written(field(1, 'purge_weight', '0')) });
  for (const text of ['1_2.75', '9'.repeat(20), '1'.repeat(400), '12.75.', '12,75 lb', '12¾'])
    add('edges of numbers', text.slice(0, 30), written(field(1, 'received_weight', text)), refused('number-invalid', 1));
  add('edges of numbers', 'a unit with spaces in capitals', written(field(1, 'unit', ' LB ')), all);
  add('ounces', 'a dash for the hyphen', poundsAndOunces((text) => `${Math.floor(Number(text))}\u2013${ounces(text)}`), refused('number-invalid', 1));
  add('ounces', 'spaces beside the hyphen', poundsAndOunces((text) => `${Math.floor(Number(text))} - ${ounces(text)}`), refused('number-invalid', 1));
  add('ounces', 'pounds with a point', poundsAndOunces((text) => text), refused('number-invalid', 1));
  add('ounces', 'a day that a spreadsheet made of them', poundsAndOunces(() => '8-Dec'), refused('number-invalid', 1));
  for (const text of ['2026-2-6', '2026-02-06T00:00:00', '2026/02/06', '2026.02.06'])
    add('edges of dates', text, written(field(1, 'cut_date', text)), all);
  for (const text of ['2026-02-06T00:00:00Z', '2026-02-29', 'Feb 6, 2026', '2026-W06-5', '2026-037', '6.2.26'])
    add('edges of dates', text, written(field(1, 'cut_date', text)), refused('date-invalid', 1));
  add('edges of dates', 'one of two orders among ISO days', written(field(1, 'cut_date', '02/06/2026')), { quarantined: 'date-order-ambiguous' });

  // Lines and column names
  add('odd lines', 'a number sign before the column names', `#${clean}`, all);
  add('odd lines', 'a remark between rows', withLines((own) => { own.splice(5, 0, '# weighed twice'); }), { refused: [], code: 'cell-count' });
  add('odd lines', 'a mark inside quotes', `"\ufeff${header.join('","')}"\n${lines.slice(1).join('\n')}\n`, all);
  add('odd lines', 'CR CR LF', lines.map((line) => `${line}\r\r\n`).join(''), { quarantined: 'header-unknown' });
  add('odd lines', 'LF CR', lines.map((line) => `${line}\n\r`).join(''), all);
  add('odd lines', 'line separators', lines.join('\u2028'), { quarantined: 'header-unknown' });
  const named = (from: string, to: string): string => clean.replace(from, to);
  add('odd column names', 'a space of no width', named('cut_date', 'cut_date\u200b'), all);
  add('odd column names', 'a line end inside', named('cut_date', '"cut\ndate"'), all);
  add('odd column names', 'a letter of another alphabet', named('cutter', '\u0441utter'), { quarantined: 'column-missing' });
  add('odd column names', 'the unit in brackets', named('received_weight', 'received weight [lb]'), { quarantined: 'column-missing' });

  // Files in the wrong place or under a wrong name
  add('wrong place', 'prices', 'output,price,unit,valid_from,kind\nfat,0.5,lb,2025-01-01,regular\n', { quarantined: 'table-misplaced' });
  add('wrong place', 'cutters, semicolons', 'Cutter;Name;Store;Since\nc-1;A. Alder;s-1;2025-01-01\n', { quarantined: 'table-misplaced' });
  add('wrong place', 'a name of 300 bytes', clean, { quarantined: 'file-name' }, { path: `${'x'.repeat(296)}.csv` });
  add('wrong place', 'a folder named like a rejects file', clean, { quarantined: 'file-name' }, { path: 'w.csv.rejects.csv/x.csv' });
  add('wrong place', 'the folder of the reference tables', clean, { quarantined: 'file-name' }, { path: 'reference/week.csv' });
  return files;
};
