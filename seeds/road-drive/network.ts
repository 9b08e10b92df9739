import { POSITIONS } from '../../shared/driveline/words.ts';
import { Random } from './random.ts';
import type { VehicleModel } from './scenario.ts';

/**
 * How vibration travels over the running gear, as a network of masses joined by hops.
 *
 * A hop passes on acceleration with a loss, a delay (length over wave speed), a fall towards high frequency (steep
 * in rubber, gentle through joints and rolling contacts) and a few structural modes, each a resonance with its
 * antiresonance beside it. All of these are causal filters. What reaches a node is the sum over every path from the
 * source that visits no node twice. Losses, modes and wave speeds are drawn per vehicle; a hop is the same both ways.
 *
 * The losses are plausible orders of magnitude, not measurements: 2 dB within a casing, around 10 dB through a half
 * shaft with its joints and bearings, around 13 dB through a rubber bush. They spread by 2 to 3 dB between vehicles.
 */
export type Node = string;

interface HopKind {
  readonly loss_dB: number;
  readonly spread_dB: number;
  readonly length_m: readonly [number, number];
  readonly waveSpeed_m_s: readonly [number, number];
  /** Above this the hop loses 6 dB per octave more. */
  readonly corner_Hz: readonly [number, number];
  readonly modes: readonly [number, number];
  /** The stiffer and smaller, the higher its modes. */
  readonly modes_Hz: readonly [number, number];
}

const HOPS = {
  casing: {
    loss_dB: 2.5,
    spread_dB: 1,
    length_m: [0.1, 0.3],
    waveSpeed_m_s: [2500, 4000],
    corner_Hz: [6000, 9000],
    modes: [1, 2],
    modes_Hz: [600, 6000],
  },
  bolted: {
    loss_dB: 5,
    spread_dB: 1.5,
    length_m: [0.3, 0.6],
    waveSpeed_m_s: [2000, 4000],
    corner_Hz: [3000, 6000],
    modes: [2, 3],
    modes_Hz: [250, 5000],
  },
  axleTube: {
    loss_dB: 6,
    spread_dB: 2,
    length_m: [0.5, 0.8],
    waveSpeed_m_s: [1500, 4000],
    corner_Hz: [2000, 5000],
    modes: [2, 4],
    modes_Hz: [120, 5000],
  },
  shaft: {
    loss_dB: 9.5,
    spread_dB: 2.5,
    length_m: [0.5, 1.2],
    waveSpeed_m_s: [1000, 4000],
    corner_Hz: [700, 2000],
    modes: [3, 5],
    modes_Hz: [70, 5000],
  },
  arm: {
    loss_dB: 13,
    spread_dB: 2.5,
    length_m: [0.4, 0.8],
    waveSpeed_m_s: [800, 2500],
    corner_Hz: [250, 700],
    modes: [3, 5],
    modes_Hz: [70, 5000],
  },
  bush: {
    loss_dB: 13,
    spread_dB: 3,
    length_m: [0.1, 0.4],
    waveSpeed_m_s: [300, 1200],
    corner_Hz: [150, 500],
    modes: [2, 4],
    modes_Hz: [70, 5000],
  },
  panel: {
    loss_dB: 15,
    spread_dB: 3,
    length_m: [1, 2.5],
    waveSpeed_m_s: [300, 1000],
    corner_Hz: [200, 600],
    modes: [3, 6],
    modes_Hz: [40, 3000],
  },
} satisfies Record<string, HopKind>;

type Hop = readonly [Node, Node, keyof typeof HOPS];

function hopsOf(vehicle: VehicleModel): Hop[] {
  const { layout, rigidRearAxle, electricDrive } = vehicle;
  const driveUnit = electricDrive && layout !== 'fwd' ? 'rear' : 'front';
  const hops: Hop[] = [
    ['hub-front-left', 'subframe-front', 'arm'],
    ['hub-front-right', 'subframe-front', 'arm'],
    ['hub-front-left', 'body', 'bush'],
    ['hub-front-right', 'body', 'bush'],
    ['hub-rear-left', 'subframe-rear', 'arm'],
    ['hub-rear-right', 'subframe-rear', 'arm'],
    ['subframe-front', 'body', 'bush'],
    ['subframe-rear', 'body', 'bush'],
    ['engine', 'transmission', 'bolted'],
    ['engine', 'engine-mount', 'casing'],
    ['engine-mount', `subframe-${driveUnit}`, 'bush'],
    ['engine-mount', 'body', 'panel'],
    ['transmission', `subframe-${driveUnit}`, 'bush'],
  ];
  if (layout !== 'rwd') {
    // Transverse engine, longitudinal engine with a transfer case, or an electric unit of its own at this axle.
    if (layout === 'fwd') hops.push(['transmission', 'differential-front', 'casing']);
    else if (!electricDrive) hops.push(['transfer-case', 'differential-front', 'shaft']);
    hops.push(
      ['differential-front', 'differential-front-left', 'casing'],
      ['differential-front', 'differential-front-right', 'casing'],
      ['differential-front-left', 'hub-front-left', 'shaft'],
      ['differential-front-right', 'hub-front-right', 'shaft'],
      ['differential-front', 'subframe-front', 'bush'],
    );
  }
  if (layout !== 'fwd') {
    if (electricDrive) hops.push(['transmission', 'differential-rear-pinion', 'casing']);
    else {
      if (layout === 'awd') hops.push(['transmission', 'transfer-case', 'bolted']);
      hops.push(
        [layout === 'awd' ? 'transfer-case' : 'transmission', 'propshaft-centre-bearing', 'shaft'],
        ['propshaft-centre-bearing', 'body', 'bush'],
        ['propshaft-centre-bearing', 'differential-rear-pinion', 'shaft'],
      );
    }
    hops.push(
      ['differential-rear-pinion', 'differential-rear', 'casing'],
      ['differential-rear', 'differential-rear-left', 'casing'],
      ['differential-rear', 'differential-rear-right', 'casing'],
      ['differential-rear-left', 'hub-rear-left', rigidRearAxle ? 'axleTube' : 'shaft'],
      ['differential-rear-right', 'hub-rear-right', rigidRearAxle ? 'axleTube' : 'shaft'],
      ['differential-rear', 'subframe-rear', rigidRearAxle ? 'panel' : 'bush'],
    );
  } else {
    // A beam joins the wheels of an axle that drives nothing.
    hops.push(['hub-rear-left', 'hub-rear-right', 'panel']);
  }
  return hops;
}

/** Known positions of this vehicle that can hold a pickup. */
export function positionsOf(vehicle: VehicleModel): string[] {
  const nodes = new Set(hopsOf(vehicle).flat());
  return POSITIONS.filter((position) => nodes.has(position));
}

/** A transfer function on `bins` frequencies from zero to half the sample rate: real and imaginary part in turn. */
export type Transfer = Float64Array<ArrayBuffer>;

const MOST_HOPS = 6;
/** A path this far below the best one found so far to the same node adds nothing that could be heard. */
const PRUNE_DB = 40;

export class Network {
  private readonly sampleRate_Hz: number;
  private readonly bins: number;
  private readonly neighbours = new Map<Node, { node: Node; loss_dB: number; transfer: Transfer }[]>();

  constructor(vehicle: VehicleModel, seed: number, sampleRate_Hz: number, bins: number) {
    this.sampleRate_Hz = sampleRate_Hz;
    this.bins = bins;
    for (const [a, b, kind] of hopsOf(vehicle)) {
      const random = new Random(seed, 'hop', a, b);
      const hop: HopKind = HOPS[kind];
      const loss_dB = Math.max(0.5, random.normal(hop.loss_dB, hop.spread_dB));
      const transfer = this.hopTransfer(hop, loss_dB, random);
      for (const [from, node] of [
        [a, b],
        [b, a],
      ] as const) {
        this.neighbours.set(from, [...(this.neighbours.get(from) ?? []), { node, loss_dB, transfer }]);
      }
    }
  }

  has(node: Node): boolean {
    return this.neighbours.has(node);
  }

  /** Transfer functions from one node to each of the others. */
  from(source: Node, targets: readonly Node[]): Map<Node, Transfer> {
    const sums = new Map(targets.map((node) => [node, new Float64Array(2 * this.bins)]));
    const best = new Map<Node, number>();
    const visited = new Set<Node>();
    const along = Array.from({ length: MOST_HOPS + 1 }, () => new Float64Array(2 * this.bins));
    for (let bin = 0; bin < this.bins; bin++) along[0]![2 * bin] = 1;

    const walk = (node: Node, depth: number, loss_dB: number) => {
      best.set(node, Math.min(best.get(node) ?? Infinity, loss_dB));
      const here = along[depth]!;
      const sum = sums.get(node);
      if (sum) for (let i = 0; i < sum.length; i++) sum[i]! += here[i]!;
      if (depth === MOST_HOPS) return;
      visited.add(node);
      const onward = [...(this.neighbours.get(node) ?? [])].sort((a, b) => a.loss_dB - b.loss_dB);
      for (const hop of onward) {
        const loss = loss_dB + hop.loss_dB;
        if (visited.has(hop.node) || loss > (best.get(hop.node) ?? Infinity) + PRUNE_DB) continue;
        multiply(here, hop.transfer, along[depth + 1]!);
        walk(hop.node, depth + 1, loss);
      }
      visited.delete(node);
    };
    walk(source, 0, 0);
    return sums;
  }

  private hopTransfer(hop: HopKind, loss_dB: number, random: Random): Transfer {
    const gain = 10 ** (-loss_dB / 20);
    const delay_s = random.range(...hop.length_m) / random.range(...hop.waveSpeed_m_s);
    const corner_Hz = random.logRange(...hop.corner_Hz);
    const modes = Array.from({ length: random.integer(...hop.modes) }, () => {
      const pole_Hz = random.logRange(...hop.modes_Hz);
      return {
        pole_Hz,
        zero_Hz: pole_Hz * 2 ** (random.range(0.08, 0.35) * (random.chance(0.5) ? 1 : -1)),
        // Joints and rubber damp a vehicle's structure: no mode rings longer than some 15 ms.
        q: Math.min(random.logRange(3, 12), 0.015 * Math.PI * pole_Hz),
      };
    });
    const transfer = new Float64Array(2 * this.bins);
    for (let bin = 0; bin < this.bins; bin++) {
      const f = (bin * this.sampleRate_Hz) / 2 / (this.bins - 1);
      // Low pass of first order: 1 / (1 + j f / corner).
      const x = f / corner_Hz;
      let re = gain / (1 + x * x);
      let im = -re * x;
      for (const { pole_Hz, zero_Hz, q } of modes) {
        const below = pole_Hz * pole_Hz - f * f;
        const damping = (f * pole_Hz) / q;
        const above = zero_Hz * zero_Hz - f * f;
        const aboveDamping = (f * zero_Hz) / q;
        const size = below * below + damping * damping;
        // Scaled so that the hop's loss holds half-way between far below and far above the mode.
        const scale = pole_Hz / zero_Hz / size;
        const mRe = (above * below + aboveDamping * damping) * scale;
        const mIm = (aboveDamping * below - above * damping) * scale;
        [re, im] = [re * mRe - im * mIm, re * mIm + im * mRe];
      }
      const angle = -2 * Math.PI * f * delay_s;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      transfer[2 * bin] = re * c - im * s;
      transfer[2 * bin + 1] = re * s + im * c;
    }
    return transfer;
  }
}

export function multiply(a: Transfer, b: Transfer, out: Transfer): void {
  for (let i = 0; i < out.length; i += 2) {
    const re = a[i]! * b[i]! - a[i + 1]! * b[i + 1]!;
    out[i + 1] = a[i]! * b[i + 1]! + a[i + 1]! * b[i]!;
    out[i] = re;
  }
}
