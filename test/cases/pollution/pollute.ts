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

/** Polluted copies of one clean file of cutting tests. */
export const pollutedFiles = (clean: string): PollutedFile[] => {
  const { sheet, header, lines, at, idOf, everyId, files, add, all, refused, edited, column, cells, cell, field, withLines } = polluter(clean);
  const mdy = (iso: string): string => `${iso.slice(5, 7)}/${iso.slice(8)}/${iso.slice(0, 4)}`;
  const dmy = (iso: string): string => `${iso.slice(8)}.${iso.slice(5, 7)}.${iso.slice(0, 4)}`;

  // Encodings
  add('encoding', 'utf-8', clean, all);
  add('encoding', 'utf-8 with mark', `\ufeff${clean}`, all);
  add('encoding', 'utf-16le with mark', utf16(clean, true), all);
  add('encoding', 'utf-16be with mark', utf16(clean, false), all);
  add('encoding', 'windows-1252', latin1(clean), all);
  add('encoding', 'windows-1252 pinned', latin1(clean), all, { sender: { encoding: 'windows-1252' } });
  add('encoding', 'utf-16le pinned, no mark', utf16(clean, true, false), all, { sender: { encoding: 'utf-16le' } });
  add('encoding refused', 'utf-16le without mark', utf16(clean, true, false), { quarantined: 'encoding-invalid' });
  add('encoding refused', 'utf-16be without mark', utf16(clean, false, false), { quarantined: 'encoding-invalid' });
  add('encoding refused', 'utf-16le cut inside a letter', utf16(clean, true).slice(0, -1), {
    quarantined: 'encoding-invalid',
  });
  add('encoding refused', 'bytes that no encoding has', latin1(clean.replace('Señal', 'Se\u0081al')), {
    quarantined: 'encoding-invalid',
  });
  add('encoding refused', 'no such encoding pinned', clean, { quarantined: 'encoding-invalid' }, {
    sender: { encoding: 'utf-99' },
  });
  for (const row of [4, 50, 96]) {
    const own = lines.map((line, i) => (i === row ? latin1(line.replace(/,[^,]+ (?=Meats|Beef|Packing)/, ',é ')) : utf8(line)));
    add('mixed encodings', `one windows-1252 line at ${row + 1}`, joined(...own.flatMap((line) => [line, utf8('\n')])), refused('encoding-invalid', row));
  }
  add('mixed encodings', 'a letter cut in half', joined(utf8(lines.slice(0, 10).join('\n')), Uint8Array.of(0xc3), utf8(`\n${lines.slice(10).join('\n')}\n`)), refused('encoding-invalid', 9));
  add('mixed encodings', 'two files of two encodings in one', joined(utf8(lines.slice(0, 49).join('\n')), utf8('\n'), latin1(lines.slice(49).join('\n'))), [
    { refused: sheet.slice(49).filter((row) => /[^ -~]/.test(row.join(''))).map((row) => row[0] as string), code: 'encoding-invalid' },
    { quarantined: 'encoding-invalid' },
  ]);
  const noted = written(edited((own) => { for (const row of own.slice(1)) row[at('note')] = `Kühlraum\nnaß "${row[0]}"`; }));
  const turned = noted.indexOf('\n00555') + 1;
  const beyondAscii = [...new Set(sheet.slice(1).map((row) => row[0] as string))].filter((id) => id >= '00555');
  const inNote = noted.indexOf('naß', turned);
  add('mixed encodings', 'turns to windows-1252 between rows with line ends in quotes', joined(utf8(noted.slice(0, turned)), latin1(noted.slice(turned))), { refused: beyondAscii, code: 'encoding-invalid' }, { like: noted });
  add('mixed encodings', 'turns to windows-1252 inside a quoted cell', joined(utf8(noted.slice(0, inNote)), latin1(noted.slice(inNote))), { refused: beyondAscii, code: 'encoding-invalid' }, { like: noted });
  add('mixed encodings', 'one windows-1252 line that a quoted cell ends in', joined(utf8(noted.slice(0, inNote)), latin1('naß'), utf8(noted.slice(inNote + 3))), { refused: ['00555'], code: 'encoding-invalid' }, { like: noted });

  // Delimiters and line ends
  for (const [name, delimiter] of [['semicolon', ';'], ['tab', '\t'], ['pipe', '|']] as const) {
    add('delimiter', name, written(sheet, { delimiter }), all);
    add('delimiter', `${name}, all quoted`, written(sheet, { delimiter, quoteAll: true }), all);
    add('delimiter', `${name} with sep= line`, `sep=${delimiter}\r\n${written(sheet, { delimiter })}`, all);
    add('delimiter', `${name} pinned`, written(sheet, { delimiter }), all, { sender: { delimiter } });
  }
  add('delimiter', 'another mark in notes', written(cells(['note'], (note) => (note === '' ? 'a;b;c|d' : note)), { delimiter: ',' }), all);
  add('delimiter', 'sep= line and a pin', `sep=;\n${written(sheet, { delimiter: ';' })}`, all, { sender: { delimiter: ';' } });
  add('delimiter refused', 'colon', written(sheet, { delimiter: ':' }), { quarantined: 'header-unknown' });
  add('delimiter refused', 'pinned another', written(sheet, { delimiter: ';' }), [{ quarantined: 'column-missing' }, { quarantined: 'header-unknown' }], { sender: { delimiter: '\t' } });
  add('line ends', 'CRLF', written(sheet, { end: '\r\n' }), all);
  add('line ends', 'CR alone', written(sheet, { end: '\r' }), all);
  add('line ends', 'mixed', lines.map((line, i) => `${line}${i % 3 === 0 ? '\r\n' : '\n'}`).join(''), all);
  add('line ends', 'none at the end', clean.trimEnd(), all);
  add('line ends', 'many at the end', `${clean}\n\r\n\n`, all);
  add('line ends', 'CRLF in utf-16le', utf16(written(sheet, { end: '\r\n' }), true), all);

  // Quotes
  add('quotes', 'all quoted', written(sheet, { quoteAll: true }), all);
  add('quotes', 'line ends in notes', written(cells(['note'], (note) => (note === '' ? note : 'one\ntwo\r\nthree'))), all);
  add('quotes', '20 line ends in a note', written(cell(9, 'note', `a${'\nb'.repeat(20)}`)), all);
  add('quotes', 'inch mark inside a note', withLines((own) => { own[9] = `${own[9]}1" cover`; }), all);
  add('quotes', 'quotes and delimiters in a note', written(cell(9, 'note', '""",",;"')), all);
  for (const row of [1, 40, 95])
    add('unclosed quote', `last cell, line ${row + 1}`, withLines((own) => { own[row] = `${(own[row] as string).replace(/[^,]*$/, '')}"left open`; }), refused('quote-broken', row));
  for (const row of [2, 41, 94])
    add('unclosed quote', `supplier cell, line ${row + 1}`, withLines((own) => { own[row] = (own[row] as string).replace(/,([^,]+ (Meats|Beef|Packing))/, ',"$1'); }), refused('quote-broken', row));
  add('unclosed quote', 'last line', withLines((own) => { own[96] = `${(own[96] as string).replace(/[^,]*$/, '')}"left open`; }), refused('quote-broken', 96));
  add('unclosed quote', 'first cell', withLines((own) => { own[30] = `"${own[30]}`; }), [refused('quote-broken', 30), { refused: [idOf(30), idOf(28)], code: 'quote-broken' }, { refused: [idOf(30), idOf(33)], code: 'quote-broken' }, { quarantined: 'quote-broken' }]);
  add('unclosed quote', 'more than 20 line ends', written(cell(9, 'note', `a${'\nb'.repeat(40)}`)), { quarantined: 'quote-broken' });
  add('unclosed quote', 'two, with whole rows between', withLines((own) => {
    own[9] = `${(own[9] as string).replace(/[^,]*$/, '')}"open`;
    own[15] = `${(own[15] as string).replace(/[^,]*$/, '')}shut"`;
  }), [{ quarantined: 'quote-broken' }, { refused: [idOf(9), idOf(15)], code: 'quote-broken' }]);
  add('unclosed quote', 'a note that quotes whole rows', withLines((own) => { own[9] = `${(own[9] as string).replace(/[^,]*$/, '')}"see\n${own[3]}\n${own[4]}\nend"`; }), [{ quarantined: 'quote-broken' }, all]);
  for (const row of [3, 60])
    add('junk after a quote', `line ${row + 1}`, withLines((own) => { own[row] = (own[row] as string).replace(/,([^,]+ (Meats|Beef|Packing))/, ',"$1"x'); }), refused('quote-broken', row));
  add('junk after a quote', 'space after', withLines((own) => { own[21] = (own[21] as string).replace(/,([^,]+ (Meats|Beef|Packing))/, ',"$1" '); }), [refused('quote-broken', 21), all]);

  // Ragged rows
  for (const row of [1, 6, 50, 96]) {
    add('ragged rows', `short at the end, line ${row + 1}`, withLines((own) => { own[row] = (own[row] as string).replace(/,[^,]*,[^,]*$/, ''); }), refused('cell-count', row));
    add('ragged rows', `long, line ${row + 1}`, withLines((own) => { own[row] = `${own[row]},extra`; }), refused('cell-count', row));
  }
  add('ragged rows', 'first cell lost inside a test', withLines((own) => { own[6] = (own[6] as string).replace(/^[^,]*,/, ''); }), refused('cell-count', 6));
  add('ragged rows', 'first cell lost at the edge of a test', withLines((own) => { own[5] = (own[5] as string).replace(/^[^,]*,/, ''); }), { refused: [idOf(4), idOf(5)], code: 'cell-count' });
  add('ragged rows', 'middle cell lost', withLines((own) => { own[7] = (own[7] as string).replace(/,lb,/, ','); }), refused('cell-count', 7));
  add('ragged rows', 'unquoted delimiter in a cell', withLines((own) => { own[7] = (own[7] as string).replace('L26', 'L,26'); }), refused('cell-count', 7));
  add('ragged rows', 'decimal commas in a comma file', written(sheet).replace(/(\d+)\.(\d\d),lb/g, '$1,$2,lb'), { refused: [...new Set(sheet.slice(1).map((row) => row[0] as string))], code: 'cell-count' });
  add('ragged rows', 'unquoted line end in a row', withLines((own) => { own[7] = (own[7] as string).replace(',lb,', ',lb\n,'); }), refused('cell-count', 7));
  add('trailing delimiters', 'in all rows', lines.map((line) => `${line},,`).join('\n'), all);
  add('trailing delimiters', 'in data rows', lines.map((line, i) => (i === 0 ? line : `${line},,,`)).join('\n'), all);
  add('trailing delimiters', 'in one row', withLines((own) => { own[7] = `${own[7]},`; }), refused('cell-count', 7));

  // Lines that are no rows
  add('blank lines', 'between tests', lines.flatMap((line, i) => (i % 4 === 1 ? ['', line] : [line])).join('\n'), all);
  add('blank lines', 'of delimiters', lines.flatMap((line, i) => (i % 8 === 1 ? [','.repeat(20), line] : [line])).join('\n'), all);
  add('blank lines', 'of spaces', lines.flatMap((line, i) => (i === 33 ? ['   ', line] : [line])).join('\n'), all);
  add('blank lines', 'above the header', `\n\n${clean}`, all);
  add('title lines', 'one', `Cutting tests of the week\n${clean}`, all);
  add('title lines', 'three and a blank', `Cutting tests\nStore 002\nprinted 2026-11-20\n\n${clean}`, all);
  add('title lines', 'padded with delimiters', `Cutting tests${','.repeat(20)}\n${clean}`, all);
  add('repeated header', 'in the middle', withLines((own) => { own.splice(49, 0, own[0] as string); }), all);
  add('repeated header', 'before every test', lines.flatMap((line, i) => (i > 1 && i % 4 === 1 ? [lines[0] as string, line] : [line])).join('\n'), all);
  add('repeated header', 'in capitals', withLines((own) => { own.splice(49, 0, (own[0] as string).toUpperCase()); }), all);
  const footer = { sender: { footer: ['^total', '^printed'] } };
  add('footers', 'declared', `${clean}Total,96 rows\nPrinted 2026-11-20\n`, all, footer);
  add('footers', 'declared, full width', `${clean}TOTAL${','.repeat(18)}350.20,,\n`, all, footer);
  add('footers', 'not declared', `${clean}Printed 2026-11-20\n`, { refused: [], code: 'cell-count' });
  add('footers', 'not declared, full width', `${clean}Total${','.repeat(20)}\n`, { refused: [], code: 'value-missing' });

  // Columns
  const renamed = (change: (name: string) => string): string => written([header.map(change), ...sheet.slice(1)]);
  add('headers', 'capitals', renamed((name) => name.toUpperCase()), all);
  add('headers', 'spaces for underscores', renamed((name) => name.replaceAll('_', ' ')), all);
  add('headers', 'run together', renamed((name) => name.replaceAll('_', '')), all);
  add('headers', 'hyphens and padding', renamed((name) => `  ${name.replaceAll('_', '-')} `), all);
  add('headers', 'reordered', written(sheet.map((row) => [...row].reverse())), all);
  add('headers', 'extra columns', written(sheet.map((row, i) => ['x', ...row, i === 0 ? 'weather' : 'rain'])), all);
  add('headers', 'nameless extra column', written(sheet.map((row) => [...row, ''])), all);
  add('headers', 'mapped', renamed((name) => (name === 'cutter' ? 'Who' : name === 'cut_date' ? 'Day of test' : name)), all, { sender: { columns: { cutter: 'Who', cut_date: ['Day', 'Day of test'] } } });
  add('headers', 'plural', renamed((name) => (name === 'note' ? 'Notes' : name)), all);
  for (const name of ['test_id', 'received_weight', 'unit', 'output_weight'])
    add('missing column', name, written(sheet.map((row) => row.filter((_, i) => i !== at(name)))), { quarantined: 'column-missing' });
  add('missing column', 'weighed without a default', written(sheet.map((row) => row.filter((_, i) => i !== at('weighed')))), { quarantined: 'column-missing' });
  add('missing column', 'no header at all', written(sheet.slice(1)), { quarantined: 'header-unknown' });
  add('missing column', 'misspelled required', renamed((name) => (name === 'received_weight' ? 'recieved_weight' : name)), { quarantined: 'column-missing' });
  add('doubtful column', 'misspelled purge', renamed((name) => (name === 'purge_weight' ? 'purge_wieght' : name)), { quarantined: 'column-doubtful' });
  add('doubtful column', 'misspelled cost', renamed((name) => (name === 'unit_cost' ? 'unit_cots' : name)), { quarantined: 'column-doubtful' });
  add('doubtful column', 'listed under ignore', written(sheet.map((row, i) => [...row, i === 0 ? 'lots' : 'z'])), [{ quarantined: 'column-duplicate' }], {});
  for (const [name, twice] of [['same name', 'unit'], ['other spelling', 'Received Weight'], ['capitals', 'OUTPUT']] as const)
    add('duplicate column', name, written(sheet.map((row, i) => [...row, i === 0 ? twice : 'kg'])), { quarantined: 'column-duplicate' });

  // Numbers
  const comma = (text: string): string => text.replace('.', ',');
  add('decimal comma', 'semicolon', written(cells(weights, comma), { delimiter: ';' }), all);
  add('decimal comma', 'comma, quoted', written(cells(weights, comma)), all);
  add('decimal comma', 'pinned', written(cells(weights, comma), { delimiter: '\t' }), all, { sender: { decimal: ',' } });
  /** Weights a thousand times as large, with a mark between the thousands; the clean file to compare with has no mark. */
  const thousands = (mark: string): Sheet =>
    cells(['billed_weight', 'received_weight', 'purge_weight', 'output_weight'], (text) => {
      const whole = String(Math.round(Number(text) * 1000));
      return whole.length > 3 ? `${whole.slice(0, -3)}${mark}${whole.slice(-3)}` : whole;
    });
  for (const [name, mark] of [['space', ' '], ['no-break space', '\u00a0'], ['narrow no-break space', '\u202f'], ['apostrophe', "'"], ['curly apostrophe', '\u2019'], ['comma', ',']] as const)
    add('thousands marks', name, written(thousands(mark)), all, { like: written(thousands('')) });
  add('thousands marks', 'point, with decimal commas', written(thousands('.').map((row, i) => (i === 0 ? row : row.map((text, k) => (k === at('unit_cost') || k === at('minutes') ? comma(text) : text)))), { delimiter: ';' }), all, { like: written(thousands('')) });
  add('thousands marks', 'comma beside decimal points', written(cell(1, 'billed_weight', '12,75')), refused('number-invalid', 1));
  add('decimal ambiguous', 'three decimals with one mark', written(cells(weights, (text) => (text === '' ? '' : `${Math.floor(Number(text)) + 1},125`)), { delimiter: ';' }), { quarantined: 'decimal-ambiguous' });
  add('decimal ambiguous', 'two halves with two marks', written(edited((own) => {
    for (const row of own.slice(49)) for (const name of weights) row[at(name)] = comma(row[at(name)] as string);
  }), { delimiter: ';' }), { quarantined: 'decimal-ambiguous' });
  add('decimal ambiguous', 'one comma slip', written(cell(10, 'output_weight', '1,26'), { delimiter: ';' }), refused('number-invalid', 10));
  for (const value of ['twelve', '12.5 lb', '$12.50', '12..5', '1O.5', '12.5e0', '#REF!', '########', '#N/A', 'n/a', '-', '12.5%', '0x1F', '١٢', '½', '12 5', '1,2,3', '(3.2)', '12-5', 'NaN', 'Infinity', '=1+1', '1.2.3'])
    add('number not a number', value, written(cell(10, 'output_weight', value), { delimiter: ';' }), refused('number-invalid', 10));
  for (const value of ['-1', '-0.5'])
    add('number out of range', `output ${value}`, written(cell(10, 'output_weight', value)), refused('number-out-of-range', 10));
  for (const value of ['0', '-12.75'])
    add('number out of range', `received ${value}`, written(field(10, 'received_weight', value)), refused('number-out-of-range', 10));
  add('number out of range', 'pieces 1.5', written(cell(9, 'pieces', '1.5')), refused('number-invalid', 9));
  add('required cell blank', 'received', written(field(10, 'received_weight', '')), refused('value-missing', 10));
  add('required cell blank', 'grade of one row', written(cell(10, 'grade', '  ')), refused('value-missing', 10));
  add('required cell blank', 'unit', written(cell(10, 'unit', '')), refused('value-missing', 10));
  add('required cell blank', 'output', written(cell(10, 'output', '')), refused('value-missing', 10));
  add('required cell blank', 'test id inside a test', written(cell(10, 'test_id', '')), refused('value-missing', 10));
  add('required cell blank', 'test id at the edge of a test', written(cell(9, 'test_id', '')), { refused: [idOf(8), idOf(9)], code: 'value-missing' });
  add('required cell blank', 'store', written(cell(11, 'store', '')), refused('value-missing', 11));

  // Dates
  add('date order', 'month first', written(cells(['cut_date'], mdy)), all);
  add('date order', 'day first', written(cells(['cut_date'], dmy)), all);
  add('date order', 'day first pinned', written(cells(['cut_date'], dmy)), all, { sender: { dates: 'dmy' } });
  add('date order', 'slashes, year first', written(cells(['cut_date'], (iso) => iso.replaceAll('-', '/'))), all);
  add('date order', 'midnight behind', written(cells(['cut_date'], (iso) => `${iso} 00:00:00`)), all);
  add('date ambiguous', 'no day above 12', written(cells(['cut_date'], (iso) => mdy(`${iso.slice(0, 8)}0${1 + (Number(iso.slice(8)) % 9)}`))), { quarantined: 'date-order-ambiguous' });
  add('date ambiguous', 'both orders', written(edited((own) => {
    for (const [i, row] of own.entries()) if (i > 0) row[at('cut_date')] = (i < 49 ? mdy : dmy)(row[at('cut_date')] as string).replaceAll('.', '/');
  })), { quarantined: 'date-order-ambiguous' });
  add('date ambiguous', 'other order pinned', written(cells(['cut_date'], (iso) => mdy(`${iso.slice(0, 8)}25`))), { refused: [...new Set(sheet.slice(1).map((row) => row[0] as string))], code: 'date-invalid' }, { sender: { dates: 'dmy' } });
  for (const value of ['2026-02-30', '2026-13-01', '02/30/2026', '46111', '46111.5', '3/11/26', '11-Mar-26', 'yesterday', '2026-3', '20260311', '0026-03-11', '1926-03-11', '2026-03-11 14:30', '2026/03-11', '########', '03/2026'])
    add('date not a date', value, written(field(10, 'cut_date', value)), refused('date-invalid', 10));
  for (const value of ['2026-11-24', '2062-03-11', '2027-01-01'])
    add('date in the future', value, written(field(10, 'cut_date', value)), refused('date-future', 10));

  // Choices and keys
  for (const [column, value] of [['unit', 'pounds'], ['unit', 'lbs'], ['weighed', 'bag'], ['weighed', 'yes']] as const)
    add('choice', `${column} ${value}`, written(field(10, column, value)), refused('choice-invalid', 10));
  add('choice', 'capitals are no fault', written(field(10, 'unit', 'LB')), all);
  for (const [column, value, code] of [['item', '112Z', 'item-unknown'], ['item', 'Ribeye lip on', 'item-unknown'], ['grade', 'Prime', 'grade-unknown'], ['grade', 'Chioce', 'grade-unknown']] as const)
    add('unknown key', `${column} ${value}`, written(field(10, column, value)), refused(code, 10));
  add('unknown key', 'output', written(cell(10, 'output', 'lean trimm')), refused('output-unknown', 10));
  add('aliases', 'item, grade and output', written(edited((own) => {
    for (const row of own.slice(1)) {
      row[at('item')] = row[at('item')] === '112A' ? 'Ribeye' : 'STRIP';
      row[at('grade')] = row[at('grade')] === 'Choice' ? 'ch' : 'SE';
      if (row[at('output')] === 'lean trim') row[at('output')] = ' Trim ';
    }
  })), all);
  add('aliases', "sender's codes", written(edited((own) => {
    for (const row of own.slice(1)) row[at('grade')] = row[at('grade')] === 'Choice' ? '2' : '3';
  })), all, { sender: { codes: { grade: { 2: 'Choice', 3: 'Select' }, item: {}, output: {} } } });
  add('aliases', 'decomposed letters', clean.normalize('NFD'), all);
  add('padding', 'spaces in every cell', written(sheet.map((row) => row.map((text) => ` ${text}  `))), all);
  add('padding', 'no-break spaces in every cell', written(sheet.map((row) => row.map((text) => `\u00a0${text}\u00a0`))), all);

  // Invisible characters
  for (const [name, text] of [['NUL', '\u0000'], ['escape', '\u001b[31m'], ['bell', '\u0007'], ['right-to-left override', '\u202e'], ['left-to-right mark', '\u200e'], ['isolate', '\u2066'], ['zero-width space', '\u200b'], ['byte order mark inside', '\ufeff'], ['soft hyphen', '\u00ad'], ['delete', '\u007f'], ['next line', '\u0085'], ['line separator', '\u2028'], ['replacement character', '\ufffd']] as const)
    add('invisible characters', name, written(field(10, 'cutter', `c-0${text}102`)), refused('control-character', 10));
  add('invisible characters', 'NUL in a number', written(cell(10, 'output_weight', '1.\u000026')), refused('control-character', 10));
  add('invisible characters', 'line end in a key', written(field(10, 'cutter', 'c-0\n102')), refused('control-character', 10));

  // Tests that contradict themselves
  for (const [column, value] of [['cutter', 'c-0999'], ['received_weight', '99.9'], ['cut_date', '2026-03-12'], ['grade', 'Select'], ['unit', 'kg']] as const)
    add('test fields differ', column, written(cell(10, column, value)), refused('test-fields-differ', 10));
  add('output repeated', 'one row twice', withLines((own) => { own.splice(10, 0, own[10] as string); }), refused('output-repeated', 10));
  add('output repeated', 'two spellings of one output', written(cell(11, 'output', 'TRIM')), refused('output-repeated', 11));
  add('pasted twice', 'the whole file', `${clean}${clean}`, all);
  add('pasted twice', 'the rows without the column names', `${clean}${lines.slice(1).join('\n')}\n`, all);
  add('pasted twice', 'every row below itself', withLines((own) => { own.splice(1, 96, ...lines.slice(1).flatMap((line) => [line, line])); }), all);
  add('pasted twice', 'one test three times', `${clean}${lines.slice(5, 9).join('\n')}\n${lines.slice(5, 9).reverse().join('\n')}\n`, all);
  add('pasted twice', 'all but one row of a test', `${clean}${lines.slice(5, 8).join('\n')}\n`, refused('output-repeated', 5));
  add('pasted twice', 'one weight mended in the copy', `${clean}${lines.slice(5, 9).join('\n').replace(',10.67,', ',10.76,')}\n`, refused('output-repeated', 5));
  add('pasted twice', 'one test field mended in the copy', `${clean}${lines.slice(5, 9).join('\n').replaceAll('c-0102', 'c-0103')}\n`, refused('output-repeated', 5));
  add('pasted twice', 'and could be two lines an output', written(edited((own) => { for (const row of own) if (row[0] === idOf(5)) Object.assign(row, { [at('received_weight')]: '26.9', [at('billed_weight')]: '26.9' }); own.push(...own.filter((row) => row[0] === idOf(5))); })), refused('output-repeated', 5));
  add('rows apart', 'rows of a test in other places', written([header, ...sheet.slice(1).sort((a, b) => (a[at('output')] as string).localeCompare(b[at('output')] as string, 'en'))]), all);
  add('rows apart', 'reversed', written([header, ...sheet.slice(1).reverse()]), all);

  // Names that programs trip over
  for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
    add('special names', `extra column ${name}`, written(sheet.map((row, i) => [...row, i === 0 ? name : 'x'])), all);
    add('special names', `output ${name}`, written(cell(10, 'output', name)), refused('output-unknown', 10));
    add('special names', `grade ${name}`, written(field(10, 'grade', name)), refused('grade-unknown', 10));
  }

  // Files that are none
  add('not a table', 'empty', '', { quarantined: 'header-unknown' });
  add('not a table', 'a mark only', '\ufeff', { quarantined: 'header-unknown' });
  add('not a table', 'blank lines only', '\n\n\n', { quarantined: 'header-unknown' });
  add('not a table', 'a web page', '<!doctype html>\n<html><body>Sign in</body></html>\n', { quarantined: 'file-type' });
  add('not a table', 'JSON', '[{"test_id": "00037"}]\n', { quarantined: 'header-unknown' });
  add('not a table', 'a zip archive', joined(Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0, 6, 0, 8, 0, 0x81, 0xff, 0xfe), latin1(clean.slice(0, 400))), { quarantined: 'file-type' });
  add('not a table', 'another table', 'store,name,region\ns-001,First,North\n', { quarantined: 'table-misplaced' });
  add('cut off', 'inside a row', clean.slice(0, clean.lastIndexOf('lb,') + 3), { refused: [idOf(96)], code: 'cell-count' });
  add('cut off', 'inside a quoted note', `${lines.slice(0, 96).join('\n')}\n${(lines[96] as string).replace(/[^,]*$/, '')}"checked, the`, refused('quote-broken', 96));

  // Limits
  add('limits', 'long note', written(cell(9, 'note', 'x'.repeat(40_000))), refused('limit-exceeded', 9));
  add('limits', 'row over the record limit', written(cell(9, 'note', 'x'.repeat(300_000))), { quarantined: 'limit-exceeded' });
  add('limits', 'quoted text without end', `${clean}${(lines[96] as string).replace(/[^,]*$/, '')}"${'x'.repeat(400_000)}`, { quarantined: 'limit-exceeded' });
  add('limits', '500 columns', written(sheet.map((row, i) => [...row, ...Array.from({ length: 500 }, (_, k) => (i === 0 ? `extra ${k}` : 'x'))])), { quarantined: 'limit-exceeded' });

  // Sender's defaults and the wide layout
  const without = (names: string[]): Sheet => sheet.map((row) => row.filter((_, i) => !names.includes(header[i] as string)));
  add('defaults', 'unit and weighed', written(without(['unit', 'weighed'])), all, { sender: { defaults: { unit: 'lb', weighed: 'in-bag' } } });
  add('defaults', 'blank cells', written(cells(['unit', 'weighed'], () => '')), all, { sender: { defaults: { unit: 'lb', weighed: 'in-bag' } } });
  const outputs = ['ribeye steak', 'strip steak', 'lean trim', 'fat', 'bone'];
  const perTest = header.filter((name) => !['output', 'output_weight', 'pieces', 'note'].includes(name));
  const wide: Sheet = [
    [...perTest, ...outputs],
    ...everyId.map((id) => {
      const rows = sheet.filter((row) => row[0] === id);
      const weight = (output: string): string => rows.find((row) => row[at('output')] === output)?.[at('output_weight')] ?? '';
      return [...perTest.map((name) => (rows[0] as string[])[at(name)] as string), ...outputs.map(weight)];
    }),
  ];
  const asWide = { sender: { layout: 'wide' as const } };
  add('wide layout', 'by our outputs', written(wide), all, asWide);
  add('wide layout', 'mapped', written([(wide[0] as string[]).map((name) => (outputs.includes(name) ? `${name} lb` : name)), ...wide.slice(1)]), all, { sender: { layout: 'wide', wide: Object.fromEntries(outputs.map((name) => [name, `${name} lb`])) } });
  add('wide layout', 'semicolon and comma', written(wide.map((row, i) => (i === 0 ? row : row.map((text) => (/^\d+\.\d+$/.test(text) ? comma(text) : text)))), { delimiter: ';' }), all, asWide);
  add('wide layout', 'a test twice', written([...wide, wide[3] as string[]]), all, asWide);
  add('wide layout', 'a test twice, one weight mended', written([...wide, (wide[3] as string[]).map((cell, i, row) => (i === row.length - 1 ? '0.5' : cell))]), { refused: [everyId[2] as string], code: 'test-repeated' }, asWide);
  add('wide layout', 'a bad weight', written(wide.map((row, i) => (i === 3 ? row.map((text, k) => (k === row.length - 1 ? 'x' : text)) : row))), { refused: [everyId[2] as string], code: 'number-invalid' }, asWide);
  add('wide layout', 'a short row', written(wide.map((row, i) => (i === 3 ? row.slice(0, -1) : row))), { refused: [everyId[2] as string], code: 'cell-count' }, asWide);
  add('wide layout', 'no output columns', written(wide.map((row) => row.slice(0, perTest.length))), { quarantined: 'column-missing' }, asWide);
  const ounces = (text: string): string => {
    const pounds = Number(text);
    return text === '' ? '' : `${Math.floor(pounds)}-${((pounds - Math.floor(pounds)) * 16).toFixed(4)}`;
  };
  const inOunces = edited((own) => {
    for (const row of own.slice(1)) {
      for (const name of ['billed_weight', 'received_weight', 'purge_weight', 'output_weight']) row[at(name)] = ounces(row[at(name)] as string);
      row[at('unit')] = 'lb-oz';
    }
  });
  add('pounds and ounces', 'all weights', written(inOunces), all);
  add('pounds and ounces', 'in a file of pounds', written(cell(10, 'output_weight', '1-4')), refused('number-invalid', 10));
  add('pounds and ounces', '16 ounces', written(inOunces.map((row, i) => (i === 10 ? row.map((text, k) => (k === at('output_weight') ? '1-16' : text)) : row))), refused('number-invalid', 10));
  add('pounds and ounces', 'a decimal point for a hyphen', written(inOunces.map((row, i) => (i === 10 ? row.map((text, k) => (k === at('output_weight') ? '1.4' : text)) : row))), refused('number-invalid', 10));
  return files;
};
