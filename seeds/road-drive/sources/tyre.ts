import {
  addModulation,
  BandNoise,
  dB,
  type Excitation,
  onGrid,
  REFERENCE_SPEED_M_S,
  ShaftTone,
} from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion, Shaft } from '../motion.ts';
import type { Random } from '../random.ts';
import type { Fault } from '../scenario.ts';

/**
 * A tyre: non-uniformity at the first orders of the wheel (acceleration of an unbalance grows with the square of
 * speed), the air resonance in the tyre near 200 Hz, and tread noise between some 400 and 1500 Hz. All of it depends
 * on speed and not on torque; a loaded tyre's tread is a little louder.
 *
 * Wear: `outOfRound` raises orders 1 to 3 and a little of the rest; `cupped` raises a hump of orders around the
 * number of its dips and makes the tread noise swell once per turn.
 */
export class Tyre implements Excitation {
  readonly nodes: readonly Node[];
  private readonly side: 1 | -1;
  private readonly shaft: Shaft;
  private readonly node: Node;
  private readonly orders: { tone: ShaftTone; level: number; growth: number }[];
  private readonly tread: BandNoise;
  private readonly swell: { depth: number; phase: number };

  constructor(corner: string, vehicle: Random, visit: Random, sampleRate_Hz: number, fault: Fault | null) {
    this.node = `hub-${corner}`;
    this.nodes = [this.node];
    this.side = corner.endsWith('left') ? 1 : -1;
    this.shaft = `wheel-${corner}` as Shaft;
    const severity = fault?.severity ?? 0;
    const outOfRound = fault?.mechanism === 'outOfRound';
    const cupped = fault?.mechanism === 'cupped';

    this.orders = [0.12, 0.08, 0.05].map((level, i) => {
      const worn = outOfRound ? dB(12 + 12 * severity - 2 * i) : cupped ? dB(2 + 6 * severity) : 1;
      return {
        tone: new ShaftTone(visit, i + 1),
        level: level * vehicle.spread(3) * worn,
        growth: i === 0 ? 2 : 1.5,
      };
    });
    const dips = vehicle.integer(9, 26);
    if (cupped) {
      for (let order = dips - 3; order <= dips + 3; order++) {
        const level = 0.8 * dB(12 * severity) * Math.exp(-(((order - dips) / 1.5) ** 2));
        this.orders.push({
          tone: new ShaftTone(visit, order),
          level: level * vehicle.spread(2),
          growth: 1.5,
        });
      }
    }
    const worn = fault ? dB((cupped ? 4 : 1) + (cupped ? 8 : 4) * severity) : 1;
    const treadHz = vehicle.logRange(600, 1100);
    this.tread = new BandNoise(visit, sampleRate_Hz, [
      {
        shape: { resonance_Hz: vehicle.range(190, 240), q: vehicle.range(8, 15) },
        rms: 0.25 * vehicle.spread(2),
      },
      { shape: { from_Hz: treadHz / 1.8, to_Hz: treadHz * 1.6 }, rms: 0.5 * vehicle.spread(2) * worn },
      { shape: { from_Hz: 25, to_Hz: 160 }, rms: 0.3 * vehicle.spread(2) * (fault ? dB(5 * severity) : 1) },
    ]);
    this.swell = { depth: fault ? 0.3 + 0.4 * severity : vehicle.range(0, 0.15), phase: visit.range(0, 1) };
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get(this.node)!;
    const turns = motion.turns(this.shaft);
    const relative = (i: number) => motion.speed_m_s[i]! / REFERENCE_SPEED_M_S;
    for (const { tone, level, growth } of this.orders) {
      tone.addTo(
        out,
        motion,
        turns,
        onGrid(motion, (i) => level * relative(i) ** growth),
      );
    }
    const gain = onGrid(motion, (i) => relative(i) ** 1.8 * (1 + 0.15 * this.side * motion.lateral[i]!));
    addModulation(gain, turns, 1, this.swell.depth, this.swell.phase);
    this.tread.addTo(out, motion, gain);
  }
}
