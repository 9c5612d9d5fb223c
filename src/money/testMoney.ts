/** One weighed line as money sees it: kg, price per kg (NaN = unpriced), and its role in the method. */
export type PricedLine = {
  kg: number;
  pricePerKg: number;
  isMain: boolean;
  isSaleable: boolean;
};

/** Money in the chain's currency, `Fraction` 0-1, `Kg` per kg, `Hour` per hands-on hour; cost factor is a ratio. Missing NaN. */
export type TestMoney = {
  purchaseCost: number;
  salesValue: number;
  grossMargin: number;
  marginFraction: number;
  markupFraction: number;
  costPerSaleableKg: number;
  /** Purchase cost less credit of all but the main outputs. */
  residualCost: number;
  residualCostPerKg: number;
  costFactor: number;
  laborCost: number;
  marginAfterLabor: number;
  /** Margin after labor per hands-on hour. */
  marginPerHour: number;
};

const weightOf = (lines: readonly PricedLine[], chosen: (line: PricedLine) => boolean): number =>
  lines.reduce((sum, line) => (chosen(line) && line.kg > 0 ? sum + line.kg : sum), 0);

const creditOf = (lines: readonly PricedLine[], chosen: (line: PricedLine) => boolean): number =>
  lines.reduce(
    (sum, line) =>
      chosen(line) && line.kg > 0 && line.pricePerKg > 0 ? sum + line.kg * line.pricePerKg : sum,
    0,
  );

/**
 * Money of one test in the chain's currency. Cost is on billed weight. Cost per saleable takes off the credit of what is
 * sold but not saleable; residual cost takes off the credit of everything but the main outputs (the butcher's test).
 * NaN where a divisor is 0 or the unit cost is missing. Worked checks: domain facts E1-E4, E8, E12.
 */
export const testMoney = (
  lines: readonly PricedLine[],
  bought: { billedKg: number; unitCostPerKg: number },
  labor: { minutes: number; perHour: number },
): TestMoney => {
  const purchaseCost = bought.unitCostPerKg * bought.billedKg;
  const salesValue = creditOf(lines, () => true);
  const grossMargin = salesValue - purchaseCost;
  const saleableKg = weightOf(lines, (line) => line.isSaleable);
  const mainKg = weightOf(lines, (line) => line.isMain);
  const residualCost = purchaseCost - creditOf(lines, (line) => !line.isMain);
  const laborCost = (labor.minutes / 60) * labor.perHour;
  const ratio = (part: number, whole: number): number => (whole > 0 ? part / whole : Number.NaN);
  return {
    purchaseCost,
    salesValue,
    grossMargin,
    marginFraction: ratio(grossMargin, salesValue),
    markupFraction: ratio(grossMargin, purchaseCost),
    costPerSaleableKg: ratio(purchaseCost - creditOf(lines, (line) => !line.isSaleable), saleableKg),
    residualCost,
    residualCostPerKg: ratio(residualCost, mainKg),
    costFactor: ratio(ratio(residualCost, mainKg), bought.unitCostPerKg),
    laborCost,
    marginAfterLabor: grossMargin - laborCost,
    marginPerHour: ratio(grossMargin - laborCost, labor.minutes / 60),
  };
};
