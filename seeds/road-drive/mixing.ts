import FFT from 'fft.js';
import type { Transfer } from './network.ts';

/**
 * Many forces to many pickups by overlap-save convolution. Two pickups share one complex transform: their impulse
 * responses are its real and imaginary part, and as the forces are real, so are the two results.
 */
export class MixingMatrix {
  readonly blockFrames: number;
  private readonly size: number;
  private readonly taps: number;
  private readonly fft: FFT;
  private readonly outputs: number;
  /** [force][pair of outputs]: spectrum of both impulse responses. */
  private readonly spectra: Float32Array[][];
  private readonly history: Float64Array[];
  private readonly force: Float64Array;
  private readonly product: Float64Array;
  private readonly result: Float64Array;

  /**
   * @param transfers [force][output], on the frequencies of `taps / 2 + 1` bins
   * @param taps length of the impulse responses, a power of two
   */
  constructor(transfers: readonly (readonly Transfer[])[], taps: number) {
    this.taps = taps;
    this.size = 4 * taps;
    this.blockFrames = this.size - taps;
    this.fft = new FFT(this.size);
    this.outputs = transfers[0]?.length ?? 0;
    const impulse = new FFT(taps);
    this.spectra = transfers.map((row) => {
      const pairs: Float32Array[] = [];
      for (let output = 0; output < row.length; output += 2) {
        const both = new Float64Array(2 * this.size);
        for (const part of [0, 1] as const) {
          const transfer = row[output + part];
          if (!transfer) continue;
          const response = impulseResponse(impulse, transfer, taps);
          for (let i = 0; i < taps; i++) both[2 * i + part] = response[i]!;
        }
        const spectrum = new Float64Array(2 * this.size);
        this.fft.transform(spectrum, both);
        pairs.push(Float32Array.from(spectrum));
      }
      return pairs;
    });
    this.history = transfers.map(() => new Float64Array(this.size));
    this.force = new Float64Array(2 * this.size);
    this.product = new Float64Array(2 * this.size);
    this.result = new Float64Array(2 * this.size);
  }

  /** `forces[k]` and `outputs[c]` hold `blockFrames` samples. */
  process(forces: readonly Float32Array[], outputs: readonly Float32Array[]): void {
    const { size, taps, blockFrames, force, product, result } = this;
    const forceSpectra = forces.map((samples, k) => {
      const history = this.history[k]!;
      history.copyWithin(0, blockFrames);
      history.set(samples, taps);
      return history;
    });
    const sums = Array.from({ length: Math.ceil(this.outputs / 2) }, () => new Float64Array(2 * size));
    for (let k = 0; k < forces.length; k++) {
      this.fft.realTransform(force, forceSpectra[k]!);
      this.fft.completeSpectrum(force);
      for (let pair = 0; pair < sums.length; pair++) addProduct(force, this.spectra[k]![pair]!, sums[pair]!);
    }
    for (let pair = 0; pair < sums.length; pair++) {
      product.set(sums[pair]!);
      this.fft.inverseTransform(result, product);
      const even = outputs[2 * pair]!;
      for (let i = 0; i < blockFrames; i++) even[i] = result[2 * (taps + i)]!;
      const odd = outputs[2 * pair + 1];
      if (odd) for (let i = 0; i < blockFrames; i++) odd[i] = result[2 * (taps + i) + 1]!;
    }
  }
}

function addProduct(a: Float64Array, b: Float32Array, sum: Float64Array): void {
  for (let i = 0; i < sum.length; i += 2) {
    const [aRe, aIm, bRe, bIm] = [a[i]!, a[i + 1]!, b[i]!, b[i + 1]!];
    sum[i]! += aRe * bRe - aIm * bIm;
    sum[i + 1]! += aRe * bIm + aIm * bRe;
  }
}

/** The real impulse response, its last quarter faded so that it ends in silence. */
function impulseResponse(fft: FFT, transfer: Transfer, taps: number): Float64Array {
  const spectrum = new Float64Array(2 * taps);
  spectrum.set(transfer.subarray(0, taps + 2));
  spectrum[1] = 0;
  spectrum[taps + 1] = 0;
  fft.completeSpectrum(spectrum);
  const complex = new Float64Array(2 * taps);
  fft.inverseTransform(complex, spectrum);
  const fade = taps / 4;
  return Float64Array.from({ length: taps }, (_, i) => complex[2 * i]! * Math.min(1, (taps - i) / fade));
}
