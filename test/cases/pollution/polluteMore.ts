import {
  joined,
  latin1,
  type PollutedFile,
  polluter,
  type Sheet,
  utf16,
  utf8,
  weights,
  written,
} from './polluter.ts';

/** Further polluted copies, of dirt that spreadsheets, mail and people leave; each seen in the wild as a kind, none copied. */
export const furtherPollutedFiles = (clean: string): PollutedFile[] => {
  const { sheet, header, lines, at, everyId, files, add, all, refused, allRefused, edited, column, cells, cell, withLines, replaced, withColumn } = polluter(clean);
  const lineOf = (row: number): string => lines[row] as string;

  // Files put together
  add('joined files', 'mark in front of a second header', joined(utf8(`${lines.slice(0, 49).join('\n')}\n`), utf8(`\ufeff${lines[0]}\n${lines.slice(49).join('\n')}\n`)), all);
  add('joined files', 'mark in front of a row', joined(utf8(`${lines.slice(0, 49).join('\n')}\n\ufeff${lines.slice(49).join('\n')}\n`)), [refused('control-character', 48, 49), refused('control-character', 49), all]);
  add('joined files', 'two marks at the start', `\ufeff\ufeff${clean}`, all);
  add('joined files', 'no line end between two files', `${lines.slice(0, 49).join('\n')}${clean.slice(0, clean.indexOf('\n'))}\n${lines.slice(49).join('\n')}\n`, refused('cell-count', 48, 49));
  add('joined files', 'no line end between two rows', withLines((own) => { own.splice(48, 2, `${lineOf(48)}${lineOf(49)}`); }), refused('cell-count', 48, 49));
  add('joined files', 'no line end inside a test', withLines((own) => { own.splice(46, 2, `${lineOf(46)}${lineOf(47)}`); }), [refused('cell-count', 46), refused('cell-count', 44, 46, 48)]);
  add('joined files', 'a carriage return alone between two tests', withLines((own) => { own.splice(48, 2, `${lineOf(48)}\r${lineOf(49)}`); }), [refused('cell-count', 48, 49), all]);
  add('joined files', 'second half with another delimiter', `${lines.slice(0, 49).join('\n')}\n${written(sheet.slice(49), { delimiter: ';' })}`, [
    { refused: everyId.slice(12), code: 'cell-count' },
    { refused: everyId.slice(11), code: 'cell-count' },
  ]);
  add('joined files', 'one row with another delimiter', withLines((own) => { own[10] = (sheet[10] as string[]).join(';'); }), refused('cell-count', 10));
  add('joined files', 'one row wholly in quotes', withLines((own) => { own[10] = `"${lineOf(10)}"`; }), refused('cell-count', 10));
  add('joined files', 'every row wholly in quotes', `${lines.map((line) => `"${line.replaceAll('"', '""')}"`).join('\n')}\n`, { quarantined: 'header-unknown' });
  const swapped = (name: string, other: string): Sheet =>
    sheet.map((row) => row.map((text, i) => (i === at(name) ? (row[at(other)] as string) : i === at(other) ? (row[at(name)] as string) : text)));
  for (const [name, other] of [['store', 'cutter'], ['supplier', 'lot'], ['billed_weight', 'received_weight']] as const)
    add('two tables', `${name} and ${other} change places in the second`, `${written(sheet.slice(0, 49))}${written([swapped(name, other)[0] as string[], ...swapped(name, other).slice(49)])}`, { quarantined: 'header-again' });
  add('two tables', 'portions below the tests', `${clean}\nstore,test_id,output,piece,weight,unit\ns-002,00037,ribeye steak,1,0.9,lb\n`, { quarantined: 'header-again' });
  add('two tables', 'a small table above', `store,cutter,supplier,weighed\ns-001,c-0101,Millrace Meats,in-bag\n\n${clean}`, [{ quarantined: 'column-missing' }, { quarantined: 'header-again' }]);

  add('two tables', 'names and values above', `Store,s-001,Cutter,c-0101,Supplier,Millrace Meats,Grade,Choice\n\n${clean}`, all);

  add('two tables', 'column names sorted among the rows', withLines((own) => { own.splice(0, 9, ...own.slice(1, 9), own[0] as string); }), { quarantined: 'header-unknown' });

  // Rows out of place
  const shiftedLeft = (row: string[]): string[] => [...row.slice(1), ''];
  const shiftedRight = (row: string[]): string[] => ['', ...row.slice(0, -1)];
  add('shifted rows', 'one row to the left', written(sheet.map((row, i) => (i === 10 ? shiftedLeft(row) : row))), refused('date-invalid', 10));
  add('shifted rows', 'one row to the right', written(sheet.map((row, i) => (i === 10 ? shiftedRight(row) : row))), refused('value-missing', 10));
  add('shifted rows', 'first row of a test to the left', written(sheet.map((row, i) => (i === 9 ? shiftedLeft(row) : row))), refused('date-invalid', 8, 9));
  add('shifted rows', 'all rows to the right', written(sheet.map((row, i) => (i > 0 ? shiftedRight(row) : row))), allRefused('value-missing'));
  add('shifted rows', 'blank ends cut off', withLines((own) => { for (const [i, line] of own.entries()) if (i > 0) own[i] = line.replace(/,+$/, ''); }), { refused: everyId, code: 'cell-count' });
  add('shifted rows', 'blank end of one row cut off', replaced(10, (line) => line.replace(/,+$/, '')), refused('cell-count', 10));
  add('shifted rows', 'two cells too many before the output', replaced(10, (line) => line.replace(',lean trim', ',,,lean trim')), [refused('cell-count', 10), refused('cell-count', 8, 10)]);
  add('shifted rows', 'a comma in the supplier, blank end cut off', replaced(11, (line) => line.replace('Señal Packing', 'Señal, Packing').slice(0, -1)), [refused('number-invalid', 11), refused('number-out-of-range', 11)]);

  // Keys that slip in one row
  const slip = (name: string, row: number, column: string, value: string, ...others: number[]): void =>
    add('slip in a key', name, written(cell(row, column, value)), refused('test-fields-differ', row, ...others));
  slip('store in capitals', 10, 'store', 'S-004');
  slip('lost zeros', 10, 'test_id', '111');
  slip('a digit, last row', 12, 'test_id', '00112');
  slip('a digit, first row', 9, 'test_id', '00112');
  slip('the id of the next test and its store', 4, 'store', 's-003');
  slip('another store', 11, 'store', 's-003');
  add('slip in a key', 'the key of the next test', written(edited((own) => {
    const row = own[12] as string[];
    [row[at('test_id')], row[at('store')]] = ['00148', 's-001'];
  })), refused('test-fields-differ', 12, 13));

  // What spreadsheets make of texts
  for (const [name, column, value] of [
    ['apostrophe for text', 'test_id', "'00074"],
    ['formula for text', 'test_id', '="00074"'],
    ['shortened number', 'lot', '1.23457E+11'],
    ['day made of a text', 'cutter', '2-Mar'],
    ['day made of a text, other way', 'cutter', 'Mar-02'],
    ['error in a text', 'supplier', '#REF!'],
    ['column too narrow', 'supplier', '########'],
    ['typographic quotes', 'supplier', '\u201cMillrace Meats\u201d'],
    ['single quotes', 'store', "'s-003'"],
    ['nothing written out', 'supplier', 'nan'],
    ['nothing written out, otherwise', 'spec', 'NULL'],
    ['codes of a page', 'supplier', 'Br&uuml;ckwald Beef'],
    ['codes of a program', 'supplier', 'Br\\u00fcckwald Beef'],
  ] as const)
    add('spreadsheet texts', name, written(edited((own) => { for (const row of own) if (row[0] === '00074') row[at(column)] = value; })), [
      refused('text-damaged', 6),
      refused('text-damaged', 4, 6, 9),
    ]);
  add('spreadsheet texts', 'every id with an apostrophe', written(column('test_id', (text) => `'${text}`)), allRefused('text-damaged'));
  add('spreadsheet texts', 'every cell in single quotes', written(sheet.map((row) => row.map((text) => `'${text}'`))), [allRefused('text-damaged'), allRefused('number-invalid'), allRefused('date-invalid')]);
  add('spreadsheet texts', 'serial days', written(column('cut_date', (iso) => String(25569 + Date.parse(iso) / 86_400_000))), allRefused('date-invalid'));
  add('spreadsheet texts', 'midnight in 12 hours', written(column('cut_date', (iso) => `${Number(iso.slice(5, 7))}/${Number(iso.slice(8))}/${iso.slice(0, 4)} 12:00:00 AM`)), all);
  add('spreadsheet texts', 'midnight in 24 hours', written(column('cut_date', (iso) => `${Number(iso.slice(5, 7))}/${Number(iso.slice(8))}/${iso.slice(0, 4)} 0:00`)), all);
  add('spreadsheet texts', 'two-digit years', written(column('cut_date', (iso) => `${iso.slice(5, 7)}/${iso.slice(8)}/${iso.slice(2, 4)}`)), allRefused('date-invalid'));
  add('spreadsheet texts', 'month names', written(column('cut_date', (iso) => `${iso.slice(8)}-Feb-${iso.slice(0, 4)}`)), allRefused('date-invalid'));

  // Numbers with more in the cell
  for (const [name, change] of [
    ['unit behind', (text: string) => (text === '' ? '' : `${text} lb`)],
    ['unit behind a no-break space', (text: string) => (text === '' ? '' : `${text}\u00a0lb`)],
    ['currency in front', (text: string) => (text === '' ? '' : `$${text}`)],
    ['minus sign behind', (text: string) => (text === '' ? '' : `${text}-`)],
    ['parentheses', (text: string) => (text === '' ? '' : `(${text})`)],
    ['typographic minus', (text: string) => (text === '' ? '' : `\u2212${text}`)],
    ['full-width digits', (text: string) => text.replace(/\d/g, (digit) => String.fromCharCode(0xff10 + Number(digit)))],
    ['about', (text: string) => (text === '' ? '' : `~${text}`)],
  ] as const)
    add('more than a number', name, written(column('received_weight', change)), allRefused('number-invalid'));
  add('more than a number', 'plus sign and zeros in front', written(column('received_weight', (text) => `+00${text}`)), all);
  add('more than a number', 'per cent in one cell', written(cell(10, 'minutes', '65%')), [refused('number-invalid', 10)]);
  add('more than a number', 'a space for the point', written(cell(10, 'output_weight', '0 99')), refused('number-invalid', 10));
  add('more than a number', 'both marks, wrong way round', written(cell(10, 'output_weight', '1.234,5')), [refused('number-invalid', 10), { quarantined: 'decimal-ambiguous' }]);
  add('more than a number', 'Indian groups', written(cell(10, 'billed_weight', '12,34,567.5')), refused('number-invalid', 10));

  // Totals, remarks and blanks
  add('totals', 'label in the first cell', `${clean}Total${','.repeat(at('received_weight'))}330.2${','.repeat(at('output_weight') - at('received_weight'))}301.2,,\n`, [{ refused: [], code: 'value-missing' }, { refused: [], code: 'cell-count' }]);
  add('totals', 'label in the output', `${clean}${','.repeat(at('output'))}Total,301.2,,\n`, { refused: [], code: 'value-missing' });
  add('totals', 'two sums and no label', `${clean}${','.repeat(at('billed_weight'))}330.2,330.2${','.repeat(at('output_weight') - at('received_weight'))}301.2,,\n`, { refused: [], code: 'value-missing' });
  add('totals', 'below every test', withLines((own) => { for (let row = 96; row > 0; row -= 4) own.splice(row + 1, 0, `${','.repeat(at('output'))}Sum,12.1,,`); }), { refused: [], code: 'value-missing' });
  add('totals', 'as an output of the test', withLines((own) => { own.splice(13, 0, lineOf(12).replace(/bone,[^,]*/, 'Total,13.26')); }), refused('output-unknown', 9));
  add('totals', 'count of rows', `${clean}(96 rows)\n`, { refused: [], code: 'cell-count' });
  add('totals', 'page lines', withLines((own) => { own.splice(49, 0, 'Page 1 of 2'); own.push('Page 2 of 2'); }), { refused: [], code: 'cell-count' });
  add('totals', 'a remark with commas', `${clean}Printed on Monday, in the office, by the manager, for the record\n`, [{ refused: [], code: 'cell-count' }, refused('cell-count', 96)]);
  add('merged cells', 'test fields in the first row only', written(sheet.map((row, i) => (i === 0 || i % 4 === 1 ? row : row.map((text, k) => (k < at('output') ? '' : text))))), allRefused('value-missing'));
  add('merged cells', 'ids in the first row only', written(sheet.map((row, i) => (i === 0 || i % 4 === 1 ? row : ['', '', ...row.slice(2)]))), allRefused('value-missing'));
  add('merged cells', 'rows of blanks and no-break spaces', withLines((own) => { own.splice(9, 0, '\u00a0,'.repeat(20), ' '.repeat(9)); }), all);

  // Encodings read wrongly
  add('wrong encoding', 'UTF-8 read as Windows-1252', clean.replaceAll('ñ', 'Ã±').replaceAll('ü', 'Ã¼'), { refused: [...new Set(sheet.slice(1).filter((row) => /[ñü]/.test(row.join(''))).map((row) => row[0] as string))], code: 'text-damaged' });
  add('wrong encoding', 'an old Macintosh encoding', latin1(clean.replaceAll('ñ', '\u0096').replaceAll('ü', '\u009f')), { quarantined: 'encoding-invalid' });
  add('wrong encoding', 'an old DOS encoding', latin1(clean.replaceAll('ñ', '\u00a4').replaceAll('ü', '\u0081')), { quarantined: 'encoding-invalid' });
  add('wrong encoding', 'an old DOS encoding, no undefined byte', latin1(clean.replaceAll('ñ', '\u00a4').replaceAll('ü', '\u0082')), { quarantined: 'encoding-invalid' });
  add('wrong encoding', 'Macintosh, pinned', latin1(clean.replaceAll('ñ', '\u0096').replaceAll('ü', '\u009f')), all, { sender: { encoding: 'macintosh' } });
  add('wrong encoding', 'UTF-32', joined(Uint8Array.of(0xff, 0xfe, 0, 0), Uint8Array.from([...clean].flatMap((letter) => [letter.charCodeAt(0) & 255, letter.charCodeAt(0) >> 8, 0, 0]))), { quarantined: 'encoding-invalid' });
  add('wrong encoding', 'UTF-16 lines behind ASCII ones', joined(utf8(`${lines.slice(0, 49).join('\n')}\n`), utf16(`${lines.slice(49).join('\n')}\n`, true, false)), [{ refused: everyId.slice(12), code: 'cell-count' }, { refused: everyId.slice(12), code: 'control-character' }, { refused: everyId.slice(11), code: 'cell-count' }, { refused: everyId.slice(11), code: 'control-character' }]);
  add('wrong encoding', 'NULs behind the last row', `${clean}${'\0'.repeat(512)}`, [all, { refused: [], code: 'cell-count' }]);
  add('wrong encoding', 'end-of-file mark of old systems', `${clean}\u001a`, [all, { refused: [], code: 'cell-count' }]);

  // Quotes of other customs
  add('other quotes', 'backslashes before quotes', clean.replaceAll('""', '\\"'), { refused: [...new Set(sheet.slice(1).filter((row) => (row[at('note')] as string).includes('"')).map((row) => row[0] as string))], code: 'quote-broken' });
  add('other quotes', 'a space before quotes', clean.replaceAll(',"', ', "'), { refused: [...new Set(sheet.slice(1).filter((row) => (row[at('note')] as string).includes('"')).map((row) => row[0] as string))], code: 'cell-count' });
  add('other quotes', 'inches in a note', written(cell(9, 'note', 'x')).replace(',12,x', ',12,cut 1" thick'), all);
  add('other quotes', 'a line end without quotes in a note', replaced(9, (line) => `${line}first\nsecond`), [{ refused: [], code: 'cell-count' }, refused('cell-count', 9)]);
  add('other quotes', 'a line end without quotes in the method', replaced(6, (line) => line.replace('whole steaks', 'whole\nsteaks')), refused('cell-count', 6));

  // Files that are none
  for (const [name, start] of [
    ['a compressed file', [0x1f, 0x8b, 8, 0]],
    ['an old workbook', [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1]],
    ['a PDF', [0x25, 0x50, 0x44, 0x46, 0x2d]],
    ['a workbook', [0x50, 0x4b, 3, 4, 20, 0]],
  ] as const)
    add('not a CSV', name, joined(Uint8Array.from(start), latin1(clean)), { quarantined: 'file-type' });
  add('not a CSV', 'XML', '<?xml version="1.0"?>\n<tests/>\n', { quarantined: 'file-type' });
  add('not a CSV', 'another name', clean, { quarantined: 'file-type' }, { path: 'week.txt' });
  add('not a CSV', 'column names only', `${lines[0]}\n`, all, { like: `${lines[0]}\n` });
  add('not a CSV', 'column names without a line end', lines[0] as string, all, { like: `${lines[0]}\n` });
  add('not a CSV', 'columns at fixed places', sheet.map((row) => row.map((text) => text.padEnd(18)).join('')).join('\n'), { quarantined: 'header-unknown' });

  // Headers
  const renamed = (change: (name: string) => string): string => written([header.map(change), ...sheet.slice(1)]);
  add('named with more', 'unit in the names of weights', renamed((name) => (weights.includes(name) && name.endsWith('weight') ? `${name} (kg net)` : name)), [{ quarantined: 'column-missing' }, { quarantined: 'column-doubtful' }]);
  add('named with more', 'an optional column only', renamed((name) => (name === 'purge_weight' ? 'Purge weight, liquid in the bag' : name)), { quarantined: 'column-doubtful' });
  add('named with more', 'supplier name', renamed((name) => (name === 'supplier' ? 'Supplier Name' : name)), { quarantined: 'column-doubtful' });
  add('named with more', 'names of blanks', written(sheet.map((row, i) => [...row, i === 0 ? ' ' : 'x', i === 0 ? '' : 'y'])), all);
  add('named with more', 'an index column in front', written(sheet.map((row, i) => [i === 0 ? '' : String(i), ...row])), all);
  add('named with more', 'an index in the rows only', written(sheet.map((row, i) => (i === 0 ? row : [String(i), ...row]))), allRefused('cell-count'));
  add('named with more', 'a line of units below', withLines((own) => { own.splice(1, 0, header.map((name) => (weights.includes(name) ? 'number' : 'text')).join(',')); }), [{ refused: [], code: 'date-invalid' }, refused('date-invalid', 1)]);
  const perTest = header.filter((name) => !['output', 'output_weight', 'pieces', 'note'].includes(name));
  const outputs = ['ribeye steak', 'strip steak', 'lean trim', 'fat', 'bone'];
  const wide: Sheet = [
    [...perTest, ...outputs],
    ...everyId.map((id) => {
      const rows = sheet.filter((row) => row[0] === id);
      const weight = (output: string): string => rows.find((row) => row[at('output')] === output)?.[at('output_weight')] ?? '';
      return [...perTest.map((name) => (rows[0] as string[])[at(name)] as string), ...outputs.map(weight)];
    }),
  ];
  const withOutput = (name: string, value: string): string => written(wide.map((row, i) => [...row, i === 0 ? name : value]));
  const asWide = { sender: { layout: 'wide' as const } };
  add('wide, more columns', 'an output that the chain does not know', withOutput('cap meat', '0.4'), { quarantined: 'column-doubtful' }, asWide);
  add('wide, more columns', 'an output of other units, mostly', written(wide.map((row, i) => [...row, i === 0 ? 'cap meat' : i === 3 ? '-' : i % 2 === 1 ? '0.4 lb' : '']))  , { quarantined: 'column-doubtful' }, asWide);
  const long = Array.from({ length: 12 }, (_, times) => wide.slice(1).map((row) => [`${times}-${row[0]}`, ...row.slice(1)])).flat();
  const plainLong = written([wide[0] as string[], ...long]);
  add('wide, more columns', 'an output weighed below the first 200 rows only', written([[...(wide[0] as string[]), 'cap meat'], ...long.map((row, i) => [...row, i > 250 ? '0.4' : ''])]), { quarantined: 'column-doubtful' }, { ...asWide, like: plainLong });
  add('wide, more columns', 'named with the unit', written(wide.map((row, i) => (i === 0 ? row.map((name) => (name === 'ribeye steak' ? 'ribeye steak (kg)' : name)) : row))), { quarantined: 'column-doubtful' }, asWide);
  add('wide, more columns', 'read as the long layout', written(wide), { quarantined: 'column-missing' });
  add('wide, more columns', 'listed under ignore', withOutput('room temperature', '4.5'), all, { sender: { layout: 'wide', ignore: ['Room temperature'] } });
  add('wide, more columns', 'of texts', withOutput('weather', 'fine'), all, asWide);
  add('wide, more columns', 'blank', withOutput('cap meat', ''), all, asWide);
  return files;
};
