import { HOPS, type HopKind, type HopName, hopsOf, type Node } from './hops.ts';
import { Random } from './random.ts';
import type { OtherPhysics, VehicleModel } from './scenario.ts';

/** A transfer function on `bins` frequencies from zero to half the sample rate: real and imaginary part in turn. */
export type Transfer = Float64Array<ArrayBuffer>;

const MOST_HOPS = 6;
/** A path this far below the best one found so far to the same node adds nothing that could be heard. */
const PRUNE_DB = 40;

/**
 * How vibration travels over the running gear, as a network of masses joined by hops.
 *
 * A hop passes on acceleration with a loss, a delay (length over wave speed), a fall towards high frequency (steep
 * in rubber, gentle through joints and rolling contacts) and a few structural modes, each a resonance with its
 * antiresonance beside it. All of these are causal filters. What reaches a node is the sum over every path from the
 * source that visits no node twice. Losses, modes and wave speeds are drawn per vehicle; a hop is the same both ways.
 */
export class Network {
  private readonly sampleRate_Hz: number;
  private readonly bins: number;
  private readonly neighbours = new Map<Node, { node: Node; loss_dB: number; transfer: Transfer }[]>();

  constructor(
    vehicle: VehicleModel,
    seed: number,
    sampleRate_Hz: number,
    bins: number,
    physics?: OtherPhysics,
  ) {
    this.sampleRate_Hz = sampleRate_Hz;
    this.bins = bins;
    for (const [a, b, kind] of hopsOf(vehicle)) {
      const random = new Random(seed, 'hop', a, b);
      const hop = hopUnder(physics?.hops[kind], HOPS[kind]);
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

function hopUnder(law: OtherPhysics['hops'][HopName] | undefined, hop: HopKind): HopKind {
  if (!law) return hop;
  const [from, to] = hop.corner_Hz;
  return {
    ...hop,
    loss_dB: law.loss * hop.loss_dB,
    spread_dB: law.spread * hop.spread_dB,
    corner_Hz: [law.corner * from, law.corner * to],
  };
}

export function multiply(a: Transfer, b: Transfer, out: Transfer): void {
  for (let i = 0; i < out.length; i += 2) {
    const re = a[i]! * b[i]! - a[i + 1]! * b[i + 1]!;
    out[i + 1] = a[i]! * b[i + 1]! + a[i + 1]! * b[i]!;
    out[i] = re;
  }
}
