/** What the trees gave each suspect of a visit that grew none of them, and which of them was guilty. */
export type HeldOut = { readonly sums: readonly number[]; readonly guilty: number };

const LEAST = 0.2;
const MOST = 5;
const STEPS = 40;

/**
 * The power on the odds of all visits with which the first suspect is right as often as its probability says on the
 * whole: temperature scaling (Guo et al., ICML 2017) for the probability that a verdict is given by.
 * @throws {RangeError} without a visit
 */
export function sharpnessOf(heldOut: readonly HeldOut[]): number {
  if (heldOut.length === 0) throw new RangeError('no visit was held out');
  const right = heldOut.filter(({ sums, guilty }) => sums[guilty] === Math.max(...sums)).length;
  let low = LEAST;
  let high = MOST;
  // What is said rises with the power.
  for (let step = 0; step < STEPS; step++) {
    const middle = (low + high) / 2;
    const said = heldOut.reduce((sum, { sums }) => sum + probabilityOfFirst(sums, middle), 0);
    if (said < right) low = middle;
    else high = middle;
  }
  return low;
}

function probabilityOfFirst(sums: readonly number[], power: number): number {
  const top = Math.max(...sums);
  return 1 / sums.reduce((total, sum) => total + Math.exp(power * (sum - top)), 0);
}
