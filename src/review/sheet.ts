import type { KeyingError } from './keyingErrors.ts';

/** The weights on one sheet, kg. Lines in the order of the cell; 0 = the sheet does not have it. Missing: NaN. */
export type Sheet = {
  receivedKg: number;
  purgeKg: number;
  billedKg: number;
  isInBag: boolean;
  linesKg: Float64Array;
};

/** The sheet as it should have been, were this the mistake. A line or weight that is not known stays as sent. */
export const restoredSheet = (sheet: Sheet, error: KeyingError): Sheet => {
  const linesKg = sheet.linesKg.map((kg) => kg * error.lines);
  if (error.line >= 0) linesKg[error.line] = (linesKg[error.line] as number) * error.lineFactor;
  if (error.swapWith >= 0) {
    const kg = linesKg[error.line] as number;
    linesKg[error.line] = linesKg[error.swapWith] as number;
    linesKg[error.swapWith] = kg;
  }
  const receivedKg = sheet.receivedKg * error.received;
  const billedAlso = sheet.billedKg * error.received;
  const isAlso =
    Math.abs(Math.log(billedAlso / receivedKg)) < Math.abs(Math.log(sheet.billedKg / receivedKg));
  return {
    receivedKg,
    purgeKg: sheet.purgeKg * error.purge,
    // the invoice weight may have been written from the invoice or with the same slip: the nearer to what came in
    billedKg: isAlso ? billedAlso : sheet.billedKg,
    isInBag: sheet.isInBag,
    linesKg,
  };
};

/** Drained weight of a sheet, kg. */
export const drainedKgOf = (sheet: Sheet): number =>
  sheet.isInBag ? sheet.receivedKg - sheet.purgeKg : sheet.receivedKg;
