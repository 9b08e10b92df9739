/** Gaussian noise that is the same on every run and every machine (mulberry32 and Box-Muller). */
export function gaussianNoise(length: number, seed: number): Float64Array<ArrayBuffer> {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return Float64Array.from(
    { length },
    () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  );
}
