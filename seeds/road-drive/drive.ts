import type { Segment } from '../../shared/bundle/visit.ts';
import type { Random } from './random.ts';
import type { DrivePhase } from './scenario.ts';

const KM_H = 1 / 3.6;
/** A driver changes pedal, wheel and gear within about this time. */
const TRANSITION_S = 0.6;

/** What the driver and the road ask of the vehicle at one moment. */
export interface Demand {
  speed_m_s: number;
  torque: number;
  lateral: number;
  gearRatio: number;
}

/**
 * The drive as continuous functions of time. Within a phase the speed eases from the last phase's end speed to its
 * own (raised cosine, so that acceleration never jumps); a slow wander of a few tenths of a km/h lies on top, as no
 * foot holds a pedal still.
 */
export class Drive {
  readonly duration_s: number;
  private readonly phases: readonly DrivePhase[];
  private readonly starts: number[];
  private readonly wander: Wave[];
  private readonly microSlip: Wave[][];
  private index = 0;

  constructor(phases: readonly DrivePhase[], random: Random) {
    if (phases.length === 0) throw new Error('A drive needs at least one phase.');
    this.phases = phases;
    this.starts = [];
    let start = 0;
    for (const phase of phases) {
      this.starts.push(start);
      start += phase.duration_s;
    }
    this.duration_s = start;
    this.wander = [0.07, 0.17, 0.41].map((rate) => ({
      rate_Hz: rate * random.range(0.7, 1.3),
      amplitude: (random.range(0.05, 0.3) * KM_H * 0.1) / rate,
      phase: random.range(0, 1),
    }));
    this.microSlip = Array.from({ length: 4 }, () =>
      [0.3, 0.8, 1.9].map((rate) => ({
        rate_Hz: rate * random.range(0.7, 1.4),
        amplitude: random.range(0.0001, 0.0006),
        phase: random.range(0, 1),
      })),
    );
  }

  at(t: number): Demand {
    const phase = this.phases[this.phaseAt(t)]!;
    const previous = this.phases[this.index - 1] ?? phase;
    const since = Math.max(0, t - this.starts[this.index]!);
    const eased = ease(since / phase.duration_s);
    const changed = ease(since / Math.min(TRANSITION_S, phase.duration_s));
    const base = mix(previous.endSpeed_km_h, phase.endSpeed_km_h, eased) * KM_H;
    let wander = 0;
    for (const wave of this.wander) wander += at(wave, t);
    return {
      // Near standstill nothing wanders.
      speed_m_s: Math.max(0, base + wander * Math.min(1, base / 5)),
      torque: mix(previous.torque, phase.torque, changed),
      lateral: mix(previous.lateral, phase.lateral, changed),
      gearRatio: mix(previous.gearRatio, phase.gearRatio, changed),
    };
  }

  /** Share by which a wheel (0 to 3) turns faster for a moment, as the road and the tyre's grip change. */
  slipOf(wheel: number, t: number): number {
    return this.microSlip[wheel]!.reduce((sum, wave) => sum + at(wave, t), 0);
  }

  /** The states as the passenger marks them: inside the steady part, give or take a few tenths of a second. */
  segments(random: Random): Segment[] {
    return this.phases.flatMap((phase, i) => {
      const from_s = this.starts[i]! + TRANSITION_S + random.range(0, 0.3);
      const to_s = this.starts[i]! + phase.duration_s - random.range(0, 0.3);
      if (phase.state === null || to_s - from_s < 0.5) return [];
      return [{ from_s: round(from_s), to_s: round(to_s), state: phase.state, gearRatio: phase.gearRatio }];
    });
  }

  /** Time mostly goes forward: start from the phase found last. */
  private phaseAt(t: number): number {
    if (t < this.starts[this.index]!) this.index = 0;
    while (this.index + 1 < this.starts.length && t >= this.starts[this.index + 1]!) this.index++;
    return this.index;
  }
}

interface Wave {
  readonly rate_Hz: number;
  readonly amplitude: number;
  readonly phase: number;
}
const at = ({ rate_Hz, amplitude, phase }: Wave, t: number) =>
  amplitude * Math.sin(2 * Math.PI * (rate_Hz * t + phase));

const mix = (a: number, b: number, part: number) => a + (b - a) * part;
const ease = (part: number) => (part >= 1 ? 1 : (1 - Math.cos(Math.PI * part)) / 2);
const round = (seconds: number) => Math.round(seconds * 100) / 100;
