import type { Defect } from '../../shared/dsp/defect-evidence.ts';

/** Uniform numbers from 0 to 1 that are the same on every machine (mulberry32). */
export function uniforms(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

export type Rig = {
  readonly sampleRate_Hz: number;
  readonly seconds: number;
  readonly shaft_Hz: number;
  /** In Hz, element as strikes. */
  readonly rates: Record<Defect, number>;
};

/** A rig of random speed with a random bearing. */
export function someRig(random: () => number): Rig {
  const shaft_Hz = 8 + 25 * random();
  const elements = 7 + Math.floor(random() * 9);
  const ratio = 0.12 + 0.2 * random();
  return {
    sampleRate_Hz: 12_000,
    seconds: 3 + 2 * random(),
    shaft_Hz,
    rates: {
      outer: (elements / 2) * (1 - ratio) * shaft_Hz,
      inner: (elements / 2) * (1 + ratio) * shaft_Hz,
      element: (1 / ratio - ratio) * shaft_Hz,
      cage: 0.5 * (1 - ratio) * shaft_Hz,
    },
  };
}

export type Ingredients = {
  /** Harmonics of the shaft, gear mesh with sidebands and noise modulated by the shaft. */
  readonly gears?: boolean;
  /** A few single knocks at random. */
  readonly stones?: boolean;
  /** Strikes at this rate with 1 % slip, at this peak over the noise's RMS, modulated at a rate (0 for none). */
  readonly defect?: { readonly rate_Hz: number; readonly peak: number; readonly modulation_Hz: number };
};

/** Noise of random colour with the given ingredients. */
export function rigRecording(rig: Rig, random: () => number, ingredients: Ingredients = {}): Float64Array {
  const { sampleRate_Hz: fs, seconds, shaft_Hz } = rig;
  const gauss = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const x = new Float64Array(Math.floor(fs * seconds));
  const resonances = Array.from({ length: 3 }, () => {
    const radius = Math.exp((-Math.PI * (100 + 800 * random())) / fs);
    const angle = (2 * Math.PI * (300 + 0.42 * fs * random())) / fs;
    return { a1: 2 * radius * Math.cos(angle), a2: -radius * radius, gain: 0.2 * random(), y1: 0, y2: 0 };
  });
  for (let n = 0; n < x.length; n++) {
    const white = gauss();
    let v = 0.3 * white;
    for (const r of resonances) {
      const y = r.gain * white + r.a1 * r.y1 + r.a2 * r.y2;
      r.y2 = r.y1;
      r.y1 = y;
      v += y;
    }
    x[n] = v;
  }
  const rms = Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
  const turn = (n: number, order: number) => 2 * Math.PI * ((order * shaft_Hz * n) / fs);
  if (ingredients.gears) {
    const teeth = 17 + Math.floor(30 * random());
    const depth = 0.3 + 0.5 * random();
    const amplitudes = Array.from({ length: 12 }, (_, k) => (1.5 * random() * rms) / Math.sqrt(k + 1));
    for (let n = 0; n < x.length; n++) {
      const modulation = 1 + depth * Math.cos(turn(n, 1));
      let v = 0.3 * rms * gauss() * modulation;
      for (let k = 0; k < amplitudes.length; k++) v += amplitudes[k]! * Math.cos(turn(n, k + 1) + k * k);
      for (let h = 1; h <= 3; h++) v += ((2 * rms) / h) * modulation * Math.cos(turn(n, h * teeth) + h);
      x[n]! += v;
    }
  }
  const knock = (at_s: number, peak: number, frequency_Hz: number, decay_s: number) => {
    const from = Math.ceil(at_s * fs);
    const to = Math.min(x.length, from + Math.ceil(8 * decay_s * fs));
    for (let n = from; n < to; n++) {
      const t = n / fs - at_s;
      x[n]! += peak * Math.exp(-t / decay_s) * Math.sin(2 * Math.PI * frequency_Hz * t);
    }
  };
  if (ingredients.stones) {
    const count = 1 + Math.floor(6 * random());
    for (let k = 0; k < count; k++) {
      knock(
        seconds * random(),
        rms * (10 + 60 * random()),
        500 + 0.35 * fs * random(),
        0.001 + 0.03 * random(),
      );
    }
  }
  if (ingredients.defect) {
    const { rate_Hz, peak, modulation_Hz } = ingredients.defect;
    const resonance = fs * (0.1 + 0.3 * random());
    const slip = 1 + 0.02 * (random() - 0.5);
    for (let t = random() / rate_Hz; t < seconds; t += (1 + 0.005 * gauss()) / (rate_Hz * slip)) {
      const load = modulation_Hz > 0 ? 0.5 + 0.5 * Math.cos(2 * Math.PI * modulation_Hz * t) : 1;
      knock(t, peak * rms * load * (1 + 0.2 * gauss()), resonance, 0.0008);
    }
  }
  return x;
}
