import { SingleConvolution } from './fft-single.ts';
import { assertFinite } from './validation.ts';

/** The Hilbert transform over one block, taken as periodic, is a convolution with this kernel. */
function hilbertKernel(size: number): Float64Array {
  // Inverse transform of -i at positive, +i at negative frequencies, 0 at both ends: 2/N · cot(πn/N) at odd n.
  const kernel = new Float64Array(size);
  for (let n = 1; n < size; n += 2) kernel[n] = 2 / (size * Math.tan((Math.PI * n) / size));
  return kernel;
}

const convolutions = new Map<number, SingleConvolution>();

/**
 * Squared envelope of a block in single precision, without allocation: as `squaredHilbertEnvelope`, several times
 * faster, for long offline work. Needs `loadSingleFft()`.
 *
 * @param block as many samples as a `SingleFft` takes, of any unit
 * @param output receives as many values, in the unit squared; may be `block` itself
 * @returns `output`
 * @throws RangeError for NaN, infinity or another length
 */
export function squaredHilbertEnvelopeSingle(block: Float32Array, output: Float32Array): Float32Array {
  const size = block.length;
  let convolution = convolutions.get(size);
  if (!convolution) convolutions.set(size, (convolution = new SingleConvolution(hilbertKernel(size), size)));
  convolution.samples.set(block);
  convolution.convolve();
  const quadrature = convolution.samples;
  // One bad sample spoils the whole block: one look finds it.
  if (!Number.isFinite(quadrature[0])) assertFinite(block, 'block');
  for (let i = 0; i < size; i++) output[i] = block[i]! * block[i]! + quadrature[i]! * quadrature[i]!;
  return output;
}
