import { parse } from 'csv-parse/sync';

/** A row of a results file: cells as text by column. */
export type ResultRow = Record<string, string>;

/** Rows of the text of a results file (RFC 4180 with a header line). */
export const resultRows = (text: string): ResultRow[] => parse(text, { columns: true });
