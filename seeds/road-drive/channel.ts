import type { Random } from './random.ts';
import type { ChannelFault } from './scenario.ts';

/**
 * From the acceleration under a pickup to the samples of its channel: pickup and amplifier noise, full scale, and what
 * can be wrong with a lead. A dead channel carries only converter noise; a clipped one has its gain turned
 * up until the first seconds overdrive it; a
 * loose one crackles and drops out for parts of a second; a hum channel carries the mains and its multiples.
 */
export class Channel {
  private readonly random: Random;
  private readonly fullScale_m_s2: number;
  private readonly noise_m_s2: number;
  private readonly sampleRate_Hz: number;
  private readonly fault: ChannelFault | null;
  private readonly hum: { amplitude: number; phase: number }[];
  private noise = new Float32Array(0);
  private gain = 1;
  private time = 0;
  private contact = { lost: false, until: 0 };

  constructor(random: Random, fullScale_m_s2: number, sampleRate_Hz: number, fault: ChannelFault | null) {
    this.random = random;
    this.fullScale_m_s2 = fullScale_m_s2;
    this.sampleRate_Hz = sampleRate_Hz;
    this.fault = fault;
    this.noise_m_s2 = random.logRange(0.004, 0.02) * Math.sqrt(sampleRate_Hz / 48_000);
    const strength = random.logRange(0.02, 0.2);
    this.hum = [1, 0.5, 0.6].map((share) => ({ amplitude: share * strength, phase: random.range(0, 1) }));
  }

  /** Turns m/s² into samples, 1.0 being full scale. */
  record(samples: Float32Array, frames: number): void {
    if (this.noise.length !== frames) this.noise = new Float32Array(frames);
    this.random.fillNormal(this.noise, frames);
    if (this.fault === 'clipped' && this.time === 0) this.overdrive(samples, frames);
    const gain = this.gain / this.fullScale_m_s2;
    const converter = this.fault === 'dead' ? 2e-6 : this.noise_m_s2 / this.fullScale_m_s2;
    const signal = this.fault === 'dead' ? 0 : gain;
    for (let i = 0; i < frames; i++) samples[i] = signal * samples[i]! + converter * this.noise[i]!;
    if (this.fault === 'hum') this.addHum(samples, frames);
    if (this.fault === 'loose') this.loosen(samples, frames);
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!;
      if (x > 1) samples[i] = 1;
      else if (x < -1) samples[i] = -1;
    }
    this.time += frames;
  }

  private overdrive(samples: Float32Array, frames: number): void {
    let peak = this.noise_m_s2;
    for (let i = 0; i < frames; i++) peak = Math.max(peak, Math.abs(samples[i]!));
    this.gain = (this.random.range(1.5, 4) * this.fullScale_m_s2) / peak;
  }

  private addHum(samples: Float32Array, frames: number): void {
    this.hum.forEach(({ amplitude, phase }, i) => {
      const turn = ((2 * i + 1) * MAINS_HZ) / this.sampleRate_Hz;
      for (let k = 0; k < frames; k++) {
        samples[k]! += amplitude * Math.sin(2 * Math.PI * (((this.time + k) * turn + phase) % 1));
      }
    });
  }

  private loosen(samples: Float32Array, frames: number): void {
    for (let k = 0; k < frames; k++) {
      if (this.time + k >= this.contact.until) {
        const lost = !this.contact.lost;
        const length_s = lost ? this.random.logRange(0.01, 0.4) : this.random.logRange(0.05, 2);
        this.contact = { lost, until: this.time + k + Math.ceil(length_s * this.sampleRate_Hz) };
        samples[k] = this.random.range(-1, 1);
      } else if (this.contact.lost) samples[k] = 1e-5 * this.noise[k]!;
    }
  }
}

const MAINS_HZ = 50;
