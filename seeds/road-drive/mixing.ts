import FFT from 'fft.js';
import type { Transfer } from './network.ts';

/** Bins worked on at a time, so that the running sums stay in the processor's nearest cache. */
const TILE = 512;

/**
 * Many forces to many pickups by overlap-save convolution. Forces and results are real, so half of each spectrum is
 * enough, and two results share one complex inverse transform as its real and imaginary part.
 */
export class MixingMatrix {
  readonly blockFrames: number;
  private readonly size: number;
  private readonly taps: number;
  private readonly fft: FFT;
  /** [output][force]: half spectrum of the impulse response. */
  private readonly responses: Float32Array[][];
  private readonly history: Float64Array[];
  private readonly forceSpectra: Float64Array[];
  private readonly sums: Float64Array[];
  private readonly pair: Float64Array;
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
    const outputs = transfers[0]?.length ?? 0;
    const impulse = new FFT(taps);
    const spectrum = new Float64Array(2 * this.size);
    this.responses = Array.from({ length: outputs }, (_, output) =>
      transfers.map((row) => {
        const response = new Float64Array(this.size);
        response.set(impulseResponse(impulse, row[output]!, taps));
        this.fft.realTransform(spectrum, response);
        return Float32Array.from(spectrum.subarray(0, this.size + 2));
      }),
    );
    this.history = transfers.map(() => new Float64Array(this.size));
    this.forceSpectra = transfers.map(() => new Float64Array(2 * this.size));
    this.sums = Array.from({ length: outputs + (outputs % 2) }, () => new Float64Array(this.size + 2));
    this.pair = new Float64Array(2 * this.size);
    this.result = new Float64Array(2 * this.size);
  }

  /** `forces[k]` and `outputs[c]` hold `blockFrames` samples. */
  process(forces: readonly Float32Array[], outputs: readonly Float32Array[]): void {
    const { size, taps, blockFrames, history, forceSpectra, responses, sums, result } = this;
    forces.forEach((samples, k) => {
      history[k]!.copyWithin(0, blockFrames);
      history[k]!.set(samples, taps);
      this.fft.realTransform(forceSpectra[k]!, history[k]!);
    });
    for (const sum of sums) sum.fill(0);
    for (let start = 0; start < size + 2; start += 2 * TILE) {
      const end = Math.min(size + 2, start + 2 * TILE);
      for (let c = 0; c < outputs.length; c++) {
        for (let k = 0; k < forces.length; k++) {
          addProduct(forceSpectra[k]!, responses[c]![k]!, sums[c]!, start, end);
        }
      }
    }
    for (let c = 0; c < outputs.length; c += 2) {
      joinSpectra(sums[c]!, sums[c + 1]!, this.pair);
      this.fft.inverseTransform(result, this.pair);
      const even = outputs[c]!;
      const odd = outputs[c + 1];
      for (let i = 0; i < blockFrames; i++) even[i] = result[2 * (taps + i)]!;
      if (odd) for (let i = 0; i < blockFrames; i++) odd[i] = result[2 * (taps + i) + 1]!;
    }
  }
}

function addProduct(a: Float64Array, b: Float32Array, sum: Float64Array, start: number, end: number): void {
  for (let i = start; i < end; i += 2) {
    const aRe = a[i]!;
    const aIm = a[i + 1]!;
    const bRe = b[i]!;
    const bIm = b[i + 1]!;
    sum[i]! += aRe * bRe - aIm * bIm;
    sum[i + 1]! += aRe * bIm + aIm * bRe;
  }
}

/** The full spectrum of a + i b from the half spectra of two real signals a and b. */
function joinSpectra(a: Float64Array, b: Float64Array, out: Float64Array): void {
  for (let i = 0; i < a.length; i += 2) {
    out[i] = a[i]! - b[i + 1]!;
    out[i + 1] = a[i + 1]! + b[i]!;
    if (i === 0 || i === a.length - 2) continue;
    out[out.length - i] = a[i]! + b[i + 1]!;
    out[out.length - i + 1] = b[i]! - a[i + 1]!;
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
