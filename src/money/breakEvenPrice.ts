/** What a way of cutting brings per billed kg, and what one of its outputs contributes. */
export type MethodMoney = {
  marginPerBilledKg: number;
  laborPerBilledKg: number;
};

/**
 * Price per kg of one output of method B at which B earns the same per billed kg as method A, without and with labor.
 * outputOfBilled: kg of the output per billed kg of B; NaN when it is 0. Worked check: domain facts E12 (constructed):
 * 25.3322 without and 26.7235 with labor.
 */
export const breakEvenPrice = (
  methodA: MethodMoney,
  methodB: MethodMoney,
  output: { pricePerKg: number; outputOfBilled: number },
): { withoutLabor: number; withLabor: number } => {
  const gap = methodA.marginPerBilledKg - methodB.marginPerBilledKg;
  const laborGap = methodB.laborPerBilledKg - methodA.laborPerBilledKg;
  const share = output.outputOfBilled > 0 ? output.outputOfBilled : Number.NaN;
  return {
    withoutLabor: output.pricePerKg + gap / share,
    withLabor: output.pricePerKg + (gap + laborGap) / share,
  };
};
