/** Where Student's distribution leaves 5 % above, for 1 to 4 degrees of freedom (tables; SciPy agrees). */
const FEW = [6.313752, 2.919986, 2.353363, 2.131847];
const NORMAL = 1.6448536269514722;

/**
 * 95 % quantile of Student's t: half width, in standard errors, of a two-sided 90 % interval.
 * @param degrees at least 1
 * @returns to 1e-3
 * @see Abramowitz & Stegun 26.7.5 (expansion in 1/ν, from memory)
 */
export function studentT95(degrees: number): number {
  if (!(degrees >= 1)) throw new RangeError(`degrees is ${degrees}; at least one is needed`);
  const few = FEW[degrees - 1];
  if (few !== undefined) return few;
  const z = NORMAL;
  return (
    z +
    (z ** 3 + z) / (4 * degrees) +
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * degrees ** 2) +
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / (384 * degrees ** 3)
  );
}
