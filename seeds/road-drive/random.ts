/**
 * Seeded randomness. Every draw belongs to a named stream ("seed / what it is for"), so that adding a pickup or a
 * run never changes the path, the fault or the road of another one.
 *
 * Generator: sfc32 (Chris Doty-Humphrey, PractRand), seeded with the MurmurHash3 finaliser over the stream's name.
 */
export class Random {
  private a: number;
  private b: number;
  private c: number;
  private d = 1;
  private spreadFactor = 1;

  constructor(...stream: (string | number)[]) {
    const name = stream.join('/');
    let hash = 1779033703 ^ name.length;
    for (let i = 0; i < name.length; i++) {
      hash = Math.imul(hash ^ name.charCodeAt(i), 3432918353);
      hash = (hash << 13) | (hash >>> 19);
    }
    const word = () => {
      hash = Math.imul(hash ^ (hash >>> 16), 2246822507);
      hash = Math.imul(hash ^ (hash >>> 13), 3266489909);
      return (hash ^= hash >>> 16);
    };
    this.a = word();
    this.b = word();
    this.c = word();
    for (let i = 0; i < 12; i++) this.word();
  }

  /** 32 random bits as an unsigned integer. */
  word(): number {
    const t = (((this.a + this.b) | 0) + this.d) | 0;
    this.d = (this.d + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (this.c << 21) | (this.c >>> 11);
    this.c = (this.c + t) | 0;
    return t >>> 0;
  }

  /** Uniform in [from, to). */
  range(from: number, to: number): number {
    return from + ((to - from) * this.word()) / 2 ** 32;
  }

  /** Uniform in the logarithm, for frequencies and levels. */
  logRange(from: number, to: number): number {
    return from * (to / from) ** this.range(0, 1);
  }

  /** Whole number in [from, to], both included. */
  integer(from: number, to: number): number {
    return Math.floor(this.range(from, to + 1));
  }

  /** Time from one rare event to the next. */
  exponential(mean: number): number {
    return -mean * Math.log(1 - this.range(0, 1));
  }

  normal(mean = 0, deviation = 1): number {
    return mean + deviation * NORMAL_QUANTILES[this.word() >>> (32 - QUANTILE_BITS)]!;
  }

  /** A factor whose level in dB is normal: the vehicle-to-vehicle spread of a noise. */
  spread(deviation_dB: number): number {
    return 10 ** (this.normal(0, this.spreadFactor * deviation_dB) / 20);
  }

  /** Makes every later `spread` this many times as wide. */
  wider(factor: number): this {
    this.spreadFactor *= factor;
    return this;
  }

  chance(probability: number): boolean {
    return this.range(0, 1) < probability;
  }

  pick<T>(from: readonly T[]): T {
    return from[this.integer(0, from.length - 1)]!;
  }

  shuffle<T>(from: readonly T[]): T[] {
    const all = [...from];
    for (let i = all.length - 1; i > 0; i--) {
      const j = this.integer(0, i);
      [all[i], all[j]] = [all[j]!, all[i]!];
    }
    return all;
  }

  /** Fills with white Gaussian noise of unit variance, two samples from each random word. */
  fillNormal(out: Float32Array, frames: number): void {
    let { a, b, c, d } = this;
    for (let i = 0; i < frames; i += 2) {
      const t = (((a + b) | 0) + d) | 0;
      d = (d + 1) | 0;
      a = b ^ (b >>> 9);
      b = (c + (c << 3)) | 0;
      c = (c << 21) | (c >>> 11);
      c = (c + t) | 0;
      out[i] = NORMAL_QUANTILES[t >>> (32 - QUANTILE_BITS)]!;
      out[i + 1] = NORMAL_QUANTILES[t & (QUANTILES - 1)]!;
    }
    this.a = a;
    this.b = b;
    this.c = c;
    this.d = d;
  }
}

const QUANTILE_BITS = 13;
const QUANTILES = 2 ** QUANTILE_BITS;
/** The normal distribution at equally likely values, by integrating its density; unit variance. */
const NORMAL_QUANTILES = (() => {
  const table = new Float32Array(QUANTILES);
  const step = 1e-4;
  let probability = 0;
  let filled = 0;
  for (let x = -6; filled < QUANTILES; x += step) {
    probability += (Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)) * step;
    while (filled < QUANTILES && probability >= (filled + 0.5) / QUANTILES) table[filled++] = x;
  }
  const variance = table.reduce((sum, x) => sum + x * x, 0) / QUANTILES;
  return table.map((x) => x / Math.sqrt(variance));
})();
