import type { StoreStatusRow } from '../../findings/found.ts';
import type { IntakeRow, Reject } from '../../ingest/ingested.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, date, truth, count } = column;

/** store-status.csv: who sends and who is silent. */
export const storesFile: ResultsFile<StoreStatusRow> = {
  name: 'store-status',
  description: 'One row a store known or seen.',
  key: ['store'],
  columns: [
    text('store', 'store', (r) => r.store),
    text('name', 'name', (r) => r.name),
    text('region', 'region', (r) => r.region),
    date('last_test', 'day of the last test; empty = none yet', (r) => r.lastTest),
    count('tests', 'tests', 'tests in force', (r) => r.tests),
    count('held', 'tests', 'of them held', (r) => r.held),
    count('cutters', '', 'cutters seen', (r) => r.cutters),
    truth(
      'silent',
      'no test cut for longer than the chain allows, and no sheet sent: none older, no file refused whole',
      (r) => r.silent,
    ),
    count('refused_files', '', 'files refused whole within the days allowed', (r) => r.refusedFiles),
    truth(
      'sent_but_refused',
      'no test cut for longer than the chain allows, but files refused whole',
      (r) => r.sentButRefused,
    ),
    date(
      'last_sent',
      'night on which the last of its tests in force were first there; empty = only on the first night of the lake, or none',
      (r) => r.lastSent,
    ),
    truth(
      'sent_but_old',
      'no test cut for longer than the chain allows, but older ones sent lately',
      (r) => r.sentButOld,
    ),
  ],
};

/** intake.csv: what became of every row of every file. */
export const intakeFile: ResultsFile<IntakeRow> = {
  name: 'intake',
  description: 'One row a file: rows read = accepted + rejected + blank + ignored + duplicate + superseded.',
  key: ['file', 'sha256'],
  columns: [
    text('file', "the sender's file", (r) => r.file),
    text('sender', 'entry under senders that it was read by', (r) => r.sender),
    text('state', 'ingested, quarantined, duplicate-file or waiting', (r) => r.state),
    count('rows_read', 'rows', 'rows below the header', (r) => r.rowsRead),
    count('accepted', 'rows', 'rows of tests in force', (r) => r.accepted),
    count('rejected', 'rows', 'rows refused, or held back with their test', (r) => r.rejected),
    count('blank', 'rows', 'empty rows', (r) => r.blank),
    count(
      'ignored',
      'rows',
      'titles, footers, repeated headers, and rows of tests no longer kept',
      (r) => r.ignored,
    ),
    count('duplicate', 'rows', 'rows that say what another file said before', (r) => r.duplicate),
    count(
      'superseded',
      'rows',
      'rows of tests that a later version replaced, or that were withdrawn',
      (r) => r.superseded,
    ),
    text('sha256', "SHA-256 of the file's bytes", (r) => r.sha256),
    date('first_seen', 'night on which the file was first there', (r) => isoFromDay(r.firstSeenDay)),
    count(
      'owed',
      'rows',
      'of the rejected: rows still to mend, neither back in the rejects file nor replaced by newer bytes of the file',
      (r) => r.owed,
    ),
  ],
};

/** rejects.csv: every row that was refused or held back, and why. */
export const rejectsFile: ResultsFile<Reject> = {
  name: 'rejects',
  description: 'One row a fault in a delivered file; the rows themselves are below rejects/, ready to mend.',
  key: [],
  columns: [
    text('code', 'what is wrong, as a stable code', (r) => r.code),
    text('file', "the sender's file", (r) => r.sourceFile),
    count('line', '', 'line in it', (r) => r.sourceLine),
    text('field', 'column; empty = the whole row or file', (r) => r.field),
    text('found', 'what the cell holds', (r) => r.found),
    text('expected', 'what it should hold', (r) => r.expected),
    text('remedy', 'what to do', (r) => r.remedy),
    count('byte_offset', '', 'byte of the file at which the record begins', (r) => r.byteOffset),
  ],
};
