/** What is wrong with a delivered file or row: stable code, the error type of the Frictionless vocabulary, wording. */
export type RejectWording = { frictionless: string; message: string; remedy: string };

/** The one catalog of reject codes. Messages are for a department manager; found and expected are printed beside them. */
export const rejectCodes = {
  'file-type': {
    frictionless: 'source-error',
    message: 'The file is no CSV file.',
    remedy: 'Open it, save the sheet as CSV (UTF-8) and send that.',
  },
  'file-name': {
    frictionless: 'source-error',
    message: 'The file stands under a name that its rejects could not be given back under.',
    remedy: 'Give the file, or its folder, another name and send it again.',
  },
  'encoding-invalid': {
    frictionless: 'encoding-error',
    message: 'The file holds bytes that are not text in its encoding.',
    remedy: 'Save the file again as UTF-8, or name the encoding of this sender in chain.yaml.',
  },
  'delimiter-ambiguous': {
    frictionless: 'source-error',
    message: 'The mark between the cells cannot be told for certain.',
    remedy: 'Add delimiter to this sender in chain.yaml.',
  },
  'header-unknown': {
    frictionless: 'blank-header',
    message: 'No line of column names was recognized.',
    remedy: 'Put the column names in the first line, or map them under columns of this sender in chain.yaml.',
  },
  'column-missing': {
    frictionless: 'missing-label',
    message: 'A required column is missing.',
    remedy:
      'Add the column, or map its name under columns, or give a default, for this sender in chain.yaml.',
  },
  'table-misplaced': {
    frictionless: 'header-error',
    message: 'The file is a reference table, which is not read from inbox/.',
    remedy:
      'Put its rows into that table below reference/ of the chain folder, and take the file out of inbox/.',
  },
  'column-duplicate': {
    frictionless: 'duplicate-label',
    message: 'Two columns have the same name.',
    remedy: 'Rename or remove one of the two columns.',
  },
  'column-doubtful': {
    frictionless: 'incorrect-label',
    message: 'A column is nearly one of ours, or may hold weights that would not be read.',
    remedy:
      'Correct the column name, or map it under columns or wide, or list it under ignore, for this sender in chain.yaml.',
  },
  'header-again': {
    frictionless: 'header-error',
    message: 'Another line of column names, unlike the first, stands inside the file.',
    remedy: 'Send each table as a file of its own.',
  },
  'decimal-ambiguous': {
    frictionless: 'source-error',
    message: 'Numbers like 1,234 can be read in two ways.',
    remedy: 'Add decimal: "." or decimal: "," to this sender in chain.yaml.',
  },
  'date-order-ambiguous': {
    frictionless: 'source-error',
    message: 'Dates like 03/04/2026 can be read in two ways.',
    remedy: 'Add dates: mdy or dates: dmy to this sender in chain.yaml.',
  },
  'quote-broken': {
    frictionless: 'source-error',
    message: 'A quotation mark is not closed or has text after it.',
    remedy: 'Close the quotation mark, or double it inside a cell.',
  },
  'limit-exceeded': {
    frictionless: 'source-error',
    message: 'The file is larger than the limits of the chain allow.',
    remedy: 'Split the file, or raise limits in chain.yaml.',
  },
  'cell-count': {
    frictionless: 'extra-cell',
    message: 'The row has another number of cells than the column names.',
    remedy: 'Add or remove cells so that the row fits the columns.',
  },
  'value-missing': {
    frictionless: 'constraint-error',
    message: 'A required cell is empty.',
    remedy: 'Fill in the cell.',
  },
  'number-invalid': {
    frictionless: 'type-error',
    message: 'The cell is not a number.',
    remedy: 'Write a plain number, or leave it blank when not weighed.',
  },
  'number-out-of-range': {
    frictionless: 'constraint-error',
    message: 'The number is outside what is possible.',
    remedy: 'Check the number against the sheet.',
  },
  'date-invalid': {
    frictionless: 'type-error',
    message: 'The cell is not a date.',
    remedy: 'Write the date as 2026-11-23.',
  },
  'date-future': {
    frictionless: 'constraint-error',
    message: 'The date has not come yet.',
    remedy: 'Check day, month and year.',
  },
  'choice-invalid': {
    frictionless: 'constraint-error',
    message: 'The text is none of the allowed ones.',
    remedy: 'Use one of the allowed texts.',
  },
  'text-damaged': {
    frictionless: 'type-error',
    message: 'The text was changed by a program on its way.',
    remedy: 'Type the text as it stands on the sheet, in a column formatted as text.',
  },
  'control-character': {
    frictionless: 'type-error',
    message: 'The cell holds an invisible control character.',
    remedy: 'Type the cell again.',
  },
  'item-unknown': {
    frictionless: 'foreign-key',
    message: 'The item is not in the chain file.',
    remedy: 'Correct the item, or add it or an alias to chain.yaml.',
  },
  'grade-unknown': {
    frictionless: 'foreign-key',
    message: 'The grade is not in the chain file.',
    remedy: 'Correct the grade, or add it or an alias to chain.yaml.',
  },
  'output-unknown': {
    frictionless: 'foreign-key',
    message: 'The output is not in the chain file.',
    remedy: 'Correct the output, or add it or an alias to chain.yaml.',
  },
  'method-unknown': {
    frictionless: 'foreign-key',
    message: 'The item is not cut that way in the chain file.',
    remedy: 'Correct the method, or add it or an alias to chain.yaml.',
  },
  'habit-unknown': {
    frictionless: 'foreign-key',
    message: 'The habit is nearly a kind of finding, and would not be taken for it.',
    remedy: 'Write the kind as it stands in findings.csv, or the habit in words of your own.',
  },
  'store-unknown': {
    frictionless: 'foreign-key',
    message: 'The store is not in reference/stores.csv.',
    remedy: 'Correct the store, or add it to reference/stores.csv.',
  },
  'region-unknown': {
    frictionless: 'foreign-key',
    message: 'No store has this region, so the price would never hold.',
    remedy: 'Correct the region, or give it to its stores in reference/stores.csv.',
  },
  'test-fields-differ': {
    frictionless: 'row-constraint',
    message: 'Rows of one test disagree about the test.',
    remedy: 'Make the test fields the same in all rows of the test.',
  },
  'output-repeated': {
    frictionless: 'primary-key',
    message: 'An output stands twice in one test.',
    remedy: 'Add the two weights, or correct the output.',
  },
  'piece-repeated': {
    frictionless: 'primary-key',
    message: 'A piece stands twice in one output of one test.',
    remedy: 'Number the pieces of the output from 1 on, each once.',
  },
  'test-repeated': {
    frictionless: 'primary-key',
    message: 'The test stands more than once in this file.',
    remedy: 'Give each test its own test_id.',
  },
  'conflicting-versions': {
    frictionless: 'primary-key',
    message: 'Two files hold different versions of the test and neither is later.',
    remedy: 'Send the right one again with revised_on.',
  },
  'row-repeated': {
    frictionless: 'primary-key',
    message: 'Two rows of the table tell different things of the same.',
    remedy: 'Keep the one that is right. Until then neither is used.',
  },
  'cutter-named-twice': {
    frictionless: 'primary-key',
    message: 'One cutter has two names.',
    remedy:
      'Correct the name; or, if these are two people, give one of them another id, here and in the tests: a cutter is one person in the whole chain.',
  },
  'dates-reversed': {
    frictionless: 'row-constraint',
    message: 'The last day lies before the first.',
    remedy: 'Correct valid_from or valid_to.',
  },
  'price-tied': {
    frictionless: 'primary-key',
    message: 'Two prices of an output hold on the same day and neither is more specific.',
    remedy:
      'Remove one of the two, or name region, item or grade in one, or give one a later valid_from. Until then the output has no price there.',
  },
  'test-held-back': {
    frictionless: 'row-constraint',
    message: 'Another row of the same test was refused.',
    remedy: 'Mend the other row; this one is carried along.',
  },
} as const satisfies Record<string, RejectWording>;

export type RejectCode = keyof typeof rejectCodes;
