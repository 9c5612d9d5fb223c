/** How csv-stringify writes CSV of RFC 4180: rows end in CRLF, and a lone CR or LF inside a cell, which ends the row for whoever reads it, is quoted as CRLF is. */
export const csvLines = { record_delimiter: '\r\n', quoted_match: /[\r\n]/ } as const;
