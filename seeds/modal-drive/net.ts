import { type DriveLayout, WHEELS } from '../../shared/driveline/words.ts';
import { realFft } from '../../shared/dsp/fft.ts';
import { dB } from '../other-drives/drive-visit.ts';
import type { Transfer } from '../road-drive/network.ts';
import type { Random } from '../road-drive/random.ts';
import { BINS, hzOf, RATE_HZ, type Shape, shapeOf } from './signals.ts';

/**
 * The running gear as joints between structures. Noise takes the one way that loses least; every joint loses more with
 * each octave and has ripples of its own, the structures at both ends answer with their modes, and a little goes
 * through the air past all joints. A path is known by its magnitude, and its phase is the least there can be.
 */

export const TAPS = 2 * (BINS - 1);

/** What decides about the joints. */
export interface Build {
  readonly layout: DriveLayout;
  /** Engine across the car, final drive and gearbox in one housing. */
  readonly transverse: boolean;
  readonly solidAxle: boolean;
}

const hasFront = (layout: DriveLayout): boolean => layout !== 'rwd';
export const hasRear = (layout: DriveLayout): boolean => layout !== 'fwd';

export function modalPlaces(layout: DriveLayout): string[] {
  return [
    ...WHEELS.map((wheel) => `hub-${wheel}`),
    ...['transmission', 'engine-mount', 'subframe-rear'],
    ...(hasFront(layout) ? ['differential-front-left', 'differential-front-right'] : []),
    ...(hasRear(layout)
      ? [
          'differential-rear-left',
          'differential-rear-right',
          'differential-rear-pinion',
          'propshaft-centre-bearing',
        ]
      : []),
    ...(layout === 'awd' ? ['transfer-case'] : []),
  ];
}

type JointKind = readonly [a: string, b: string, loss_dB: number, spread_dB?: number];

function jointsOf({ layout, transverse, solidAxle }: Build): JointKind[] {
  const [front, rear] = [hasFront(layout), hasRear(layout)];
  const joints: JointKind[] = [];
  for (const side of ['left', 'right']) {
    joints.push([`hub-front-${side}`, 'front-member', front ? 10 : 9]);
    joints.push([`hub-rear-${side}`, 'subframe-rear', solidAxle ? 14 : 9]);
    if (front) {
      joints.push([`hub-front-${side}`, `differential-front-${side}`, 12]);
      joints.push([`differential-front-${side}`, 'differential-front', 2.2, 0.9]);
    }
    if (rear) {
      joints.push([`hub-rear-${side}`, `differential-rear-${side}`, solidAxle ? 6.5 : 11]);
      joints.push([`differential-rear-${side}`, 'differential-rear', 2.2, 0.9]);
      joints.push([`differential-rear-${side}`, 'subframe-rear', 8]);
    }
  }
  joints.push(
    ['front-member', 'engine-mount', 11],
    ['front-member', 'body', 9],
    ['subframe-rear', 'body', 10],
    ['engine-mount', 'body', 12],
    ['transmission', 'engine', 5, 1.2],
    ['engine-mount', 'engine', 3, 1],
    ['transmission', 'body', 13],
  );
  if (front && transverse) joints.push(['differential-front', 'transmission', 5, 1]);
  else if (front) joints.push(['differential-front', 'engine', 9, 1.5]);
  if (rear) {
    joints.push(
      ['differential-rear', 'differential-rear-pinion', 2, 0.8],
      ['differential-rear-pinion', 'propshaft-centre-bearing', 11],
      ['propshaft-centre-bearing', 'body', 11],
      [layout === 'awd' ? 'transfer-case' : 'transmission', 'propshaft-centre-bearing', 11],
    );
  }
  if (layout === 'awd') {
    joints.push(['transfer-case', 'transmission', 4.5, 1]);
    if (!transverse) joints.push(['transfer-case', 'differential-front', 12]);
  }
  return joints;
}

interface Joint {
  readonly ends: readonly [string, string];
  readonly loss_dB: number;
  readonly losses_dB: Shape;
  readonly delay_s: number;
}

interface Structure {
  readonly modes: readonly (readonly [f_Hz: number, damping: number, weight: number])[];
  readonly ripple_dB: Shape;
}

/** The paths of one car. */
export class ModalNet {
  private readonly joints: Joint[];
  private readonly structures: ReadonlyMap<string, Structure>;
  private readonly throughAir: Shape;
  private readonly known = new Map<string, Transfer>();

  constructor(build: Build, random: Random) {
    this.joints = jointsOf(build).map(([a, b, usual_dB, spread_dB = 2]) => {
      const loss_dB = Math.max(1, random.normal(usual_dB, spread_dB));
      const perOctave_dB = random.range(0.3, 1.6);
      const ripple_dB = rippleOf(2.2, random);
      const losses_dB = shapeOf((f) =>
        Math.max(loss_dB + perOctave_dB * Math.log2(Math.max(f, 60) / 400), 0.4 * loss_dB),
      ).map((loss, bin) => loss + ripple_dB[bin]!);
      return { ends: [a, b], loss_dB, losses_dB, delay_s: random.range(0.0002, 0.0008) };
    });
    const names = new Set(this.joints.flatMap(({ ends }) => ends));
    this.structures = new Map(
      [...names].map((name) => {
        const modes = Array.from(
          { length: random.integer(4, 7) },
          () => [random.logRange(60, 7000), random.range(0.02, 0.07), random.range(0.5, 2.4)] as const,
        );
        return [name, { modes, ripple_dB: rippleOf(1.5, random) }];
      }),
    );
    const air = dB(-random.range(33, 40));
    this.throughAir = shapeOf((f) => air / (1 + (f / 2500) ** 2));
  }

  /** From a force inside a structure to what is felt on another one. */
  transfer(from: string, to: string): Transfer {
    const key = `${from} ${to}`;
    let transfer = this.known.get(key);
    if (!transfer) this.known.set(key, (transfer = this.transferAlong(from, to, this.leastLoss(from, to))));
    return transfer;
  }

  private transferAlong(from: string, to: string, way: readonly Joint[]): Transfer {
    const there = responseOf(this.structures.get(to)!, 1);
    const here = from === to ? null : responseOf(this.structures.get(from)!, 0.5);
    const magnitude = there.map((response, bin) => {
      const loss_dB = way.reduce((sum, joint) => sum + joint.losses_dB[bin]!, 0);
      return Math.hypot(response * (here?.[bin] ?? 1) * dB(-loss_dB), this.throughAir[bin]!);
    });
    return minimumPhase(
      magnitude,
      way.reduce((sum, joint) => sum + joint.delay_s, 0),
    );
  }

  private leastLoss(from: string, to: string): readonly Joint[] {
    const best = new Map<string, { loss_dB: number; way: readonly Joint[] }>([
      [from, { loss_dB: 0, way: [] }],
    ]);
    for (let changed = true; changed; ) {
      changed = false;
      for (const joint of this.joints) {
        for (const [a, b] of [joint.ends, joint.ends.toReversed() as [string, string]]) {
          const start = best.get(a);
          if (!start) continue;
          const loss_dB = start.loss_dB + joint.loss_dB;
          if (loss_dB >= (best.get(b)?.loss_dB ?? Number.POSITIVE_INFINITY)) continue;
          best.set(b, { loss_dB, way: [...start.way, joint] });
          changed = true;
        }
      }
    }
    return best.get(to)!.way;
  }
}

/** Straight lines over the logarithm of frequency between values drawn for somewhat less than each octave. */
function rippleOf(spread_dB: number, random: Random): Shape {
  const knots = Array.from({ length: 14 }, () => random.normal(0, spread_dB));
  const [low, high] = [Math.log2(5), Math.log2(RATE_HZ / 2)];
  return shapeOf((f) => {
    const x = ((Math.log2(Math.max(f, 5)) - low) / (high - low)) * (knots.length - 1);
    const k = Math.min(knots.length - 2, Math.floor(x));
    return knots[k]! + (x - k) * (knots[k + 1]! - knots[k]!);
  });
}

/** What a structure makes of a force on it: itself and its modes. */
function responseOf({ modes, ripple_dB }: Structure, share: number): Shape {
  return shapeOf((f) => {
    let [re, im] = [1, 0];
    for (const [mode_Hz, damping, weight] of modes) {
      const loss = 2 * damping * f * mode_Hz;
      const stiff = mode_Hz ** 2 - f ** 2;
      const scale = (share * weight * loss) / (stiff ** 2 + loss ** 2);
      re += scale * loss;
      im += scale * stiff;
    }
    return Math.hypot(re, im);
  }).map((magnitude, bin) => magnitude * dB(share * ripple_dB[bin]!));
}

/** The causal filter of that magnitude that answers soonest, by folding its cepstrum (Oppenheim & Schafer), delayed. */
function minimumPhase(magnitude: Shape, delay_s: number): Transfer {
  const fft = realFft(TAPS);
  const logarithm = new Float64Array(TAPS + 2);
  for (let bin = 0; bin < BINS; bin++) logarithm[2 * bin] = Math.log(magnitude[bin]!);
  const cepstrum = fft.inverse(logarithm);
  for (let i = 1; i < TAPS / 2; i++) cepstrum[i] = 2 * cepstrum[i]!;
  cepstrum.fill(0, TAPS / 2 + 1);
  const transfer = fft.forward(cepstrum) as Transfer;
  for (let bin = 0; bin < BINS; bin++) {
    const size = Math.exp(transfer[2 * bin]!);
    const phase = transfer[2 * bin + 1]! - 2 * Math.PI * hzOf(bin) * delay_s;
    transfer[2 * bin] = size * Math.cos(phase);
    transfer[2 * bin + 1] = size * Math.sin(phase);
  }
  return transfer;
}
