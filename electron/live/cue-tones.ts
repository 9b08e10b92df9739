import type { Tone } from '../../shared/road-card/manoeuvre.ts';

/** Notes as frequency and length; told apart by their course, not by their pitch, in a loud cabin. */
const NOTES: Record<Tone, readonly { readonly hz: number; readonly s: number }[]> = {
  begin: [
    { hz: 660, s: 0.14 },
    { hz: 880, s: 0.2 },
  ],
  hold: [{ hz: 880, s: 0.12 }],
  done: [
    { hz: 880, s: 0.12 },
    { hz: 1100, s: 0.12 },
    { hz: 1320, s: 0.25 },
  ],
  attention: [
    { hz: 440, s: 0.18 },
    { hz: 440, s: 0.18 },
  ],
};
const BETWEEN_S = 0.06;
const FADE_S = 0.01;
/** Clearly heard over the sound of a pickup, and never a fright. */
const AMPLITUDE = 0.25;

/** Short tones for those who must not read: added to what is heard, whatever its gain. */
export class CueTones {
  readonly #rate: number;
  #wave: Float32Array = new Float32Array(0);
  #at = 0;

  constructor(sampleRate_Hz: number) {
    this.#rate = sampleRate_Hz;
  }

  /** A new tone takes the place of one that still sounds. */
  sound(tone: Tone): void {
    this.#wave = waveOf(tone, this.#rate);
    this.#at = 0;
  }

  /** Adds what is due to a stretch of sound, in place. */
  addTo(sound: Float32Array, frames: number): void {
    const n = Math.min(frames, this.#wave.length - this.#at);
    for (let i = 0; i < n; i++) {
      sound[i] = Math.max(-1, Math.min(1, sound[i]! + this.#wave[this.#at + i]!));
    }
    this.#at += Math.max(0, n);
  }
}

function waveOf(tone: Tone, rate: number): Float32Array {
  const notes = NOTES[tone];
  const total = notes.reduce((sum, note) => sum + note.s + BETWEEN_S, 0);
  const wave = new Float32Array(Math.ceil(total * rate));
  let from = 0;
  for (const { hz, s } of notes) {
    const length = Math.round(s * rate);
    for (let i = 0; i < length; i++) {
      const fade = Math.min(1, i / (FADE_S * rate), (length - i) / (FADE_S * rate));
      wave[from + i] = AMPLITUDE * fade * Math.sin((2 * Math.PI * hz * i) / rate);
    }
    from += length + Math.round(BETWEEN_S * rate);
  }
  return wave;
}
