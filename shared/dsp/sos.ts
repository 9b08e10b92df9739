import { assertFinite, assertWholeNumber } from './validation.ts';

/**
 * A recursive filter as a chain of second-order sections: six numbers each, b0 b1 b2 1 a1 a2, one after the
 * other (a row of scipy's `sos`). H(z) = Π (b0 + b1/z + b2/z²) / (1 + a1/z + a2/z²).
 */
export type SecondOrderSections = Float64Array;

interface Complex {
  re: number;
  im: number;
}

/** The analog poles and gain of a filter whose digital zeros all lie at +1 or -1. */
interface AnalogPoles {
  /** In rad/s of the analog prototype. Every complex pole comes with its conjugate. */
  poles: Complex[];
  gain: number;
  zerosAtOrigin: number;
}

/** Frequency at which the bilinear transform (at a sample rate of 2) puts `frequency_Hz`, in rad/s. */
function prewarped(frequency_Hz: number, sampleRate_Hz: number, name: string): number {
  if (!(frequency_Hz > 0 && frequency_Hz < sampleRate_Hz / 2)) {
    throw new RangeError(
      `${name} is ${frequency_Hz} Hz; it must lie between 0 and half the sample rate, ${sampleRate_Hz / 2} Hz`,
    );
  }
  return 4 * Math.tan((Math.PI * frequency_Hz) / sampleRate_Hz);
}

/** Poles of the analog Butterworth low-pass with its -3 dB point at 1 rad/s. */
function butterworthPrototype(order: number): Complex[] {
  assertWholeNumber(order, 'order', 1);
  const poles: Complex[] = [];
  for (let m = 1 - order; m < order; m += 2) {
    const angle = (Math.PI * m) / (2 * order);
    poles.push({ re: -Math.cos(angle), im: m === 0 ? 0 : -Math.sin(angle) });
  }
  return poles;
}

const magnitude = (value: Complex): number => Math.hypot(value.re, value.im);
const distance = (value: Complex, real: number): number => Math.hypot(value.re - real, value.im);

function squareRoot(value: Complex): Complex {
  const size = magnitude(value);
  const re = Math.sqrt(Math.max(0, (size + value.re) / 2));
  const im = Math.sqrt(Math.max(0, (size - value.re) / 2));
  return { re, im: value.im < 0 ? -im : im };
}

/**
 * Bilinear transform at a sample rate of 2, then sections. Poles nearest the unit circle come last, each with
 * the zeros nearest to it: the order that keeps intermediate values small, and scipy's ('nearest' pairing).
 */
function sectionsFromAnalog({ poles, gain, zerosAtOrigin }: AnalogPoles): SecondOrderSections {
  const digitalPoles: Complex[] = [];
  let productRe = 1;
  let productIm = 0;
  for (const pole of poles) {
    const denominatorRe = 4 - pole.re;
    const denominatorIm = -pole.im;
    const size = denominatorRe * denominatorRe + denominatorIm * denominatorIm;
    digitalPoles.push({
      re: ((4 + pole.re) * denominatorRe + pole.im * denominatorIm) / size,
      im: (pole.im * denominatorRe - (4 + pole.re) * denominatorIm) / size,
    });
    const re = productRe * denominatorRe - productIm * denominatorIm;
    productIm = productRe * denominatorIm + productIm * denominatorRe;
    productRe = re;
  }
  const digitalGain = (gain * 4 ** zerosAtOrigin) / productRe;

  // Analog zeros at the origin become +1, those at infinity -1.
  const zeros: number[] = [
    ...Array<number>(poles.length - zerosAtOrigin).fill(-1),
    ...Array<number>(zerosAtOrigin).fill(1),
  ];
  const real = digitalPoles.filter((pole) => pole.im === 0);
  const upper = digitalPoles.filter((pole) => pole.im > 0);
  if (poles.length % 2 === 1) {
    real.push({ re: 0, im: 0 });
    zeros.push(0);
  }
  const remaining = [...upper, ...real];

  const takeWorstPole = (onlyReal: boolean): Complex => {
    let worst = -1;
    for (let i = 0; i < remaining.length; i++) {
      if (onlyReal && remaining[i]!.im !== 0) continue;
      if (worst < 0 || Math.abs(1 - magnitude(remaining[i]!)) < Math.abs(1 - magnitude(remaining[worst]!))) {
        worst = i;
      }
    }
    return remaining.splice(worst, 1)[0]!;
  };
  const takeNearestZero = (pole: Complex): number => {
    let nearest = 0;
    for (let i = 1; i < zeros.length; i++) {
      if (distance(pole, zeros[i]!) < distance(pole, zeros[nearest]!)) nearest = i;
    }
    return zeros.splice(nearest, 1)[0]!;
  };

  const count = Math.ceil(poles.length / 2);
  const sections = new Float64Array(count * 6);
  for (let section = count - 1; section >= 0; section--) {
    const pole = takeWorstPole(false);
    const partner = pole.im === 0 ? takeWorstPole(true) : { re: pole.re, im: -pole.im };
    const zeroA = takeNearestZero(pole);
    const zeroB = takeNearestZero(pole);
    sections.set(
      [
        1,
        -(zeroA + zeroB),
        zeroA * zeroB,
        1,
        -(pole.re + partner.re),
        pole.re * partner.re - pole.im * partner.im,
      ],
      section * 6,
    );
  }
  for (let i = 0; i < 3; i++) sections[i]! *= digitalGain;
  return sections;
}

/**
 * Butterworth low-pass by the bilinear transform with the cutoff prewarped (Oppenheim & Schafer, Discrete-Time
 * Signal Processing, section 7.3); the same sections as `scipy.signal.butter(..., output='sos')`.
 *
 * @param order number of poles
 * @param cutoff_Hz -3.01 dB point, in hertz
 * @throws RangeError when the cutoff does not lie between 0 and half the sample rate
 */
export function butterworthLowpass(
  order: number,
  cutoff_Hz: number,
  sampleRate_Hz: number,
): SecondOrderSections {
  const cutoff = prewarped(cutoff_Hz, sampleRate_Hz, 'cutoff');
  const poles = butterworthPrototype(order).map(({ re, im }) => ({ re: re * cutoff, im: im * cutoff }));
  return sectionsFromAnalog({ poles, gain: cutoff ** order, zerosAtOrigin: 0 });
}

/** Butterworth high-pass; see `butterworthLowpass`. */
export function butterworthHighpass(
  order: number,
  cutoff_Hz: number,
  sampleRate_Hz: number,
): SecondOrderSections {
  const cutoff = prewarped(cutoff_Hz, sampleRate_Hz, 'cutoff');
  // The prototype's poles lie on the unit circle: 1/p is its conjugate, which is in the list as well.
  const poles = butterworthPrototype(order).map(({ re, im }) => ({ re: re * cutoff, im: -im * cutoff }));
  return sectionsFromAnalog({ poles, gain: 1, zerosAtOrigin: order });
}

/**
 * Butterworth band-pass with `order` poles on either side (2 · order in all), as scipy counts; see
 * `butterworthLowpass`.
 *
 * @param low_Hz lower -3.01 dB point
 * @param high_Hz upper -3.01 dB point, above `low_Hz`
 */
export function butterworthBandpass(
  order: number,
  low_Hz: number,
  high_Hz: number,
  sampleRate_Hz: number,
): SecondOrderSections {
  const low = prewarped(low_Hz, sampleRate_Hz, 'lower band edge');
  const high = prewarped(high_Hz, sampleRate_Hz, 'upper band edge');
  if (high <= low) {
    throw new RangeError(`upper band edge ${high_Hz} Hz must lie above the lower one, ${low_Hz} Hz`);
  }
  const bandwidth = high - low;
  const centreSquare = low * high;
  const poles: Complex[] = [];
  for (const prototype of butterworthPrototype(order)) {
    const re = (prototype.re * bandwidth) / 2;
    const im = (prototype.im * bandwidth) / 2;
    const root = squareRoot({ re: re * re - im * im - centreSquare, im: 2 * re * im });
    poles.push({ re: re + root.re, im: im + root.im }, { re: re - root.re, im: im - root.im });
  }
  return sectionsFromAnalog({ poles, gain: bandwidth ** order, zerosAtOrigin: order });
}

/** Samples handled at once: the scratch stays in the first-level cache. */
const CHUNK = 512;
/** Far below any signal, far above the subnormal numbers that slow a processor down. */
const NEGLIGIBLE = 1e-200;

/**
 * Streaming filter over blocks of any length (transposed direct form II, state in double precision). No
 * allocation per block. One filter per channel.
 */
export class SosFilter {
  readonly #sections: SecondOrderSections;
  readonly #count: number;
  /** Two numbers for each section. */
  readonly #state: Float64Array;
  readonly #scratch = new Float64Array(CHUNK);

  /** @throws RangeError when `sections` does not consist of whole, normalised (a0 = 1), finite sections */
  constructor(sections: SecondOrderSections) {
    if (sections.length === 0 || sections.length % 6 !== 0) {
      throw new RangeError(`sections has ${sections.length} numbers; it must hold six for each section`);
    }
    assertFinite(sections, 'sections');
    for (let i = 3; i < sections.length; i += 6) {
      if (sections[i] !== 1) throw new RangeError(`sections: a0 is ${sections[i]}; it must be 1`);
    }
    this.#sections = sections.slice();
    this.#count = sections.length / 6;
    this.#state = new Float64Array(this.#count * 2);
  }

  /** Forgets the past: as after construction. */
  reset(): void {
    this.#state.fill(0);
  }

  /** Starts as if `value` had come in forever, so that an offset makes no step (scipy's `sosfilt_zi`). */
  settle(value: number): void {
    let input = value;
    for (let section = 0; section < this.#count; section++) {
      const [b0 = 0, b1 = 0, b2 = 0, , a1 = 0, a2 = 0] = this.#sections.subarray(
        section * 6,
        section * 6 + 6,
      );
      const output = (input * (b0 + b1 + b2)) / (1 + a1 + a2);
      this.#state[section * 2 + 1] = b2 * input - a2 * output;
      this.#state[section * 2] = output - b0 * input;
      input = output;
    }
  }

  /**
   * @param input samples that follow those of the call before
   * @param output receives as many samples, in the input's unit; may be `input` itself
   * @param frames how many of them, when the arrays are longer than the block
   * @returns `output`
   * @throws RangeError when the input holds NaN or infinity; the filter then starts afresh
   */
  process<Output extends Float32Array | Float64Array>(
    input: Float32Array | Float64Array,
    output: Output,
    frames: number = input.length,
  ): Output {
    if (output.length < frames || input.length < frames) {
      throw new RangeError(
        `cannot filter ${frames} samples from ${input.length} of input into ${output.length} of output`,
      );
    }
    const scratch = this.#scratch;
    for (let start = 0; start < frames; start += CHUNK) {
      const count = Math.min(CHUNK, frames - start);
      for (let i = 0; i < count; i++) scratch[i] = input[start + i]!;
      this.#filterScratch(count);
      this.#checkState(input);
      for (let i = 0; i < count; i++) output[start + i] = scratch[i]!;
    }
    return output;
  }

  #filterScratch(count: number): void {
    let section = 0;
    if (this.#count % 2 === 1) filterOne(this.#scratch, count, this.#sections, this.#state, section++);
    for (; section < this.#count; section += 2) {
      filterTwo(this.#scratch, count, this.#sections, this.#state, section);
    }
  }

  #checkState(input: ArrayLike<number>): void {
    const state = this.#state;
    // What is not finite stays in a recursive filter for good and runs down the chain: the last state tells.
    if (!Number.isFinite(state[state.length - 1]! + state[state.length - 2]!)) {
      this.reset();
      assertFinite(input, 'signal');
      throw new RangeError('signal: the filter overflowed; its values are too large');
    }
    for (let i = 0; i < state.length; i++) {
      if (Math.abs(state[i]!) < NEGLIGIBLE) state[i] = 0;
    }
  }
}

function filterOne(
  x: Float64Array,
  count: number,
  sections: Float64Array,
  state: Float64Array,
  section: number,
): void {
  const c = section * 6;
  const s = section * 2;
  const b0 = sections[c]!;
  const b1 = sections[c + 1]!;
  const b2 = sections[c + 2]!;
  const a1 = sections[c + 4]!;
  const a2 = sections[c + 5]!;
  let s1 = state[s]!;
  let s2 = state[s + 1]!;
  for (let i = 0; i < count; i++) {
    const input = x[i]!;
    const output = b0 * input + s1;
    s1 = b1 * input + s2 - a1 * output;
    s2 = b2 * input - a2 * output;
    x[i] = output;
  }
  state[s] = s1;
  state[s + 1] = s2;
}

/** Two sections in one pass: their chains of dependent operations overlap, which nearly doubles the speed. */
function filterTwo(
  x: Float64Array,
  count: number,
  sections: Float64Array,
  state: Float64Array,
  section: number,
): void {
  const c = section * 6;
  const s = section * 2;
  const b0 = sections[c]!;
  const b1 = sections[c + 1]!;
  const b2 = sections[c + 2]!;
  const a1 = sections[c + 4]!;
  const a2 = sections[c + 5]!;
  const d0 = sections[c + 6]!;
  const d1 = sections[c + 7]!;
  const d2 = sections[c + 8]!;
  const e1 = sections[c + 10]!;
  const e2 = sections[c + 11]!;
  let s1 = state[s]!;
  let s2 = state[s + 1]!;
  let t1 = state[s + 2]!;
  let t2 = state[s + 3]!;
  for (let i = 0; i < count; i++) {
    const input = x[i]!;
    const middle = b0 * input + s1;
    s1 = b1 * input + s2 - a1 * middle;
    s2 = b2 * input - a2 * middle;
    const output = d0 * middle + t1;
    t1 = d1 * middle + t2 - e1 * output;
    t2 = d2 * middle - e2 * output;
    x[i] = output;
  }
  state[s] = s1;
  state[s + 1] = s2;
  state[s + 2] = t1;
  state[s + 3] = t2;
}

/**
 * Filters a whole signal from rest (scipy's `sosfilt`).
 *
 * @param signal samples of any unit; may be empty
 * @returns as many samples, in the same unit
 * @throws RangeError for NaN or infinity
 */
export function sosFilter(
  sections: SecondOrderSections,
  signal: Float32Array | Float64Array,
): Float64Array<ArrayBuffer> {
  return new SosFilter(sections).process(signal, new Float64Array(signal.length));
}

/**
 * Filters forward and backward: no phase shift, twice the attenuation (scipy's `sosfiltfilt` with its usual odd
 * padding; Gustafsson, IEEE Trans. Signal Process. 44(4), 1996, on why the ends need care).
 *
 * @param signal samples of any unit, more than 3 · (2 · sections + 1) of them for full padding; shorter signals
 *   are padded by as much as they have
 * @returns as many samples, in the same unit
 * @throws RangeError for NaN or infinity
 */
export function sosFilterZeroPhase(
  sections: SecondOrderSections,
  signal: Float32Array | Float64Array,
): Float64Array<ArrayBuffer> {
  if (signal.length === 0) return new Float64Array(0);
  const filter = new SosFilter(sections);
  const padding = Math.min(zeroPhasePadding(sections), signal.length - 1);
  const padded = new Float64Array(signal.length + 2 * padding);
  const first = signal[0]!;
  const last = signal[signal.length - 1]!;
  for (let i = 0; i < padding; i++) {
    padded[i] = 2 * first - signal[padding - i]!;
    padded[padding + signal.length + i] = 2 * last - signal[signal.length - 2 - i]!;
  }
  padded.set(signal, padding);
  for (let pass = 0; pass < 2; pass++) {
    filter.reset();
    filter.settle(padded[0]!);
    filter.process(padded, padded);
    padded.reverse();
  }
  return padded.slice(padding, padding + signal.length);
}

/** Three times the taps of the equal single filter, as scipy pads. */
function zeroPhasePadding(sections: SecondOrderSections): number {
  let withoutB2 = 0;
  let withoutA2 = 0;
  for (let i = 0; i < sections.length; i += 6) {
    if (sections[i + 2] === 0) withoutB2++;
    if (sections[i + 5] === 0) withoutA2++;
  }
  return 3 * ((sections.length / 6) * 2 + 1 - Math.min(withoutB2, withoutA2));
}
