import { addModulation, BandNoise, dB, type Excitation, onGrid, ShaftTone } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion } from '../motion.ts';
import type { Random } from '../random.ts';
import type { Fault } from '../scenario.ts';

/**
 * The propshaft in its centre bearing: unbalance once per turn, growing with the square of speed; the joints bend
 * twice per turn and pull harder under torque; the bearing's rumble. A worn centre bearing rumbles, swells once per
 * turn and lets the shaft whirl more; an unbalanced shaft shakes without the rumble.
 */
export class Propshaft implements Excitation {
  readonly nodes: readonly Node[] = ['propshaft-centre-bearing'];
  private readonly orders: { tone: ShaftTone; level: number }[];
  private readonly rumble: BandNoise;
  private readonly swell: { depth: number; phase: number };

  constructor(vehicle: Random, visit: Random, sampleRate_Hz: number, fault: Fault | null) {
    const severity = fault?.severity ?? 0;
    const unbalanced = fault?.mechanism === 'unbalance';
    const worn = fault?.mechanism === 'bearing';
    const shake = unbalanced ? dB(14 + 10 * severity) : worn ? dB(4 + 8 * severity) : 1;
    this.orders = [
      { tone: new ShaftTone(visit, 1), level: 0.15 * vehicle.spread(3) * shake },
      { tone: new ShaftTone(visit, 2), level: 0.1 * vehicle.spread(3) * (fault ? dB(4 + 8 * severity) : 1) },
    ];
    const rumble = worn ? dB(12 + 16 * severity) : unbalanced ? dB(3 * severity) : 1;
    const from_Hz = vehicle.logRange(70, 150);
    this.rumble = new BandNoise(visit, sampleRate_Hz, [
      { shape: { from_Hz, to_Hz: vehicle.logRange(700, 1400) }, rms: 0.12 * vehicle.spread(2.5) * rumble },
      { shape: { from_Hz: 1000, to_Hz: 4000 }, rms: 0.04 * vehicle.spread(2.5) * rumble },
    ]);
    this.swell = { depth: worn ? 0.3 + 0.4 * severity : 0.1, phase: visit.range(0, 1) };
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get('propshaft-centre-bearing')!;
    const turns = motion.turns('gearbox-output');
    const rate = motion.rate('gearbox-output');
    const relative = (i: number) => rate[i]! / REFERENCE_RATE_HZ;
    this.orders.forEach(({ tone, level }, i) => {
      const pull = (torque: number) => (i === 0 ? 1 : 0.5 + 1.2 * Math.abs(torque));
      tone.addTo(
        out,
        motion,
        turns,
        onGrid(motion, (k) => level * pull(motion.torque[k]!) * relative(k) ** 2),
      );
    });
    const gain = onGrid(motion, (i) => relative(i) ** 1.3);
    addModulation(gain, turns, 1, this.swell.depth, this.swell.phase);
    this.rumble.addTo(out, motion, gain);
  }
}

/** A propshaft's rate near 80 km/h. */
const REFERENCE_RATE_HZ = 40;
