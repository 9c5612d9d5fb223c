/** 97.5 % point of the standard normal distribution. */
export const z975 = 1.959963984540054;

const inverseRootPi = 1 / Math.sqrt(Math.PI);
const inverseRootTwoPi = 1 / Math.sqrt(2 * Math.PI);

/** Density of the standard normal distribution at z. */
export const normalDensity = (z: number): number => inverseRootTwoPi * Math.exp((-z * z) / 2);

/** P(Z <= z) of the standard normal distribution, about 15 digits in both tails (the upper tail is normalCdf(-z)); NaN for NaN. */
export const normalCdf = (z: number): number => {
  const tail = complementaryError(Math.abs(z) * Math.SQRT1_2) / 2;
  return z <= 0 ? tail : 1 - tail;
};

// Rational approximations of W. J. Cody (1969 Math. Comp. 23:631), highest coefficient first.
const erfTop = [
  0.18577770618460315, 3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694,
];
const erfBottom = [1, 23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171];
const midTop = [
  2.1531153547440383e-8, 0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001,
  881.952221241769, 1712.0476126340707, 2051.0783778260716, 1230.3393547979972,
];
const midBottom = [
  1, 15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597,
  4362.619090143247, 3439.3676741437216, 1230.3393548037495,
];
const farTop = [
  0.016315387137302097, 0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275,
  0.0006587491615298378,
];
const farBottom = [
  1, 2.568520192289822, 1.8729528499234673, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918,
];

/** Value at x of the polynomial whose coefficients are given from the highest power down. */
const polynomial = (coefficients: readonly number[], x: number): number => {
  let value = 0;
  for (let k = 0; k < coefficients.length; k++) value = value * x + (coefficients[k] as number);
  return value;
};

/** 1 - erf(x) for x >= 0. */
const complementaryError = (x: number): number => {
  if (x <= 0.46875) return 1 - (x * polynomial(erfTop, x * x)) / polynomial(erfBottom, x * x);
  // exp(-x^2) in two factors, so that squaring loses no digits
  const rounded = Math.trunc(x * 16) / 16;
  const bell = Math.exp(-rounded * rounded) * Math.exp(-(x - rounded) * (x + rounded));
  if (x <= 4) return (bell * polynomial(midTop, x)) / polynomial(midBottom, x);
  if (x === Number.POSITIVE_INFINITY) return 0;
  const y = 1 / (x * x);
  return (bell * (inverseRootPi - (y * polynomial(farTop, y)) / polynomial(farBottom, y))) / x;
};

// Algorithm AS 241, M. J. Wichura (1988 Appl. Statist. 37:477), highest coefficient first.
const centerTop = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946,
  1971.5909503065513, 133.14166789178438, 3.3871328727963665,
];
const centerBottom = [
  5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751,
  687.1870074920579, 42.31333070160091, 1,
];
const nearTop = [
  0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
  5.769497221460691, 4.630337846156546, 1.4234371107496835,
];
const nearBottom = [
  1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
  1.6763848301838038, 2.053191626637759, 1,
];
const outerTop = [
  2.0103343992922881e-7, 0.000027115555687434876, 0.0012426609473880784, 0.026532189526576124,
  0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103,
];
const outerBottom = [
  2.0442631033899397e-15, 1.421511758316446e-7, 0.000018463183175100548, 0.0007868691311456133,
  0.014875361290850615, 0.1369298809227358, 0.599832206555888, 1,
];

/** z with P(Z <= z) = probability, about 15 digits; -Infinity at 0, Infinity at 1, NaN outside. */
export const normalQuantile = (probability: number): number => {
  if (!(probability >= 0 && probability <= 1)) return Number.NaN;
  const centered = probability - 0.5;
  if (Math.abs(centered) <= 0.425) {
    const square = 0.180625 - centered * centered;
    return (centered * polynomial(centerTop, square)) / polynomial(centerBottom, square);
  }
  const tail = Math.min(probability, 1 - probability);
  if (tail === 0) return centered * Number.POSITIVE_INFINITY;
  const root = Math.sqrt(-Math.log(tail));
  const size =
    root <= 5
      ? polynomial(nearTop, root - 1.6) / polynomial(nearBottom, root - 1.6)
      : polynomial(outerTop, root - 5) / polynomial(outerBottom, root - 5);
  return centered < 0 ? -size : size;
};
