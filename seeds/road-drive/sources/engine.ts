import { addModulation, BandNoise, dB, type Excitation, onGrid, ShaftTone } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion, Shaft } from '../motion.ts';
import type { Random } from '../random.ts';
import type { EngineManner, Fault, VehicleModel } from '../scenario.ts';

/**
 * The engine: a four-stroke fires cylinders / 2 times per crank turn; that order and its multiples lead, the half
 * orders between them show how uneven the cylinders are. All follow engine speed and load, not road speed.
 * Faults: `uneven` (one cylinder works less, so the half orders rise) and `accessory` (a belt-driven pulley's bearing
 * that grinds and whines at its own multiple of the crank's speed).
 */
export class Engine implements Excitation {
  readonly nodes: readonly Node[] = ['engine'];
  private readonly orders: { tone: ShaftTone; level: number }[];
  private readonly combustion: BandNoise;
  private readonly accessory: { tones: ShaftTone[]; level: number; noise: BandNoise };
  private readonly firing: number;
  private readonly strokes: number;

  constructor(
    model: VehicleModel,
    vehicle: Random,
    visit: Random,
    sampleRate_Hz: number,
    fault: Fault | null,
    { level_db, uneven_db, strokes }: EngineManner = USUAL_MANNER,
  ) {
    const severity = fault?.severity ?? 0;
    const uneven = fault?.mechanism === 'uneven';
    const accessory = fault?.mechanism === 'accessory';
    const firing = model.cylinders / 2;
    this.firing = firing;
    this.strokes = strokes;
    this.orders = [];
    for (let order = 0.5; order <= 2 * firing + 2; order += 0.5) {
      const fires = order % firing === 0;
      const whole = order % 1 === 0;
      const level = fires
        ? 1.6 / (order / firing)
        : dB(uneven_db) * (whole ? 0.25 : 0.1 * (uneven ? dB(12 + 14 * severity) : 1));
      this.orders.push({
        tone: new ShaftTone(visit, order),
        level: level * dB(level_db) * vehicle.spread(3),
      });
    }
    this.combustion = new BandNoise(visit, sampleRate_Hz, [
      {
        shape: { from_Hz: 400, to_Hz: 2500 },
        rms: 0.5 * dB(level_db) * vehicle.spread(2.5) * (uneven ? dB(4 * severity) : 1),
      },
    ]);
    const ratio = vehicle.range(1.3, 2.8);
    this.accessory = {
      tones: [1, 2, vehicle.integer(7, 13)].map((multiple) => new ShaftTone(visit, multiple * ratio)),
      level: 0.08 * vehicle.spread(3) * (accessory ? dB(12 + 14 * severity) : 1),
      noise: new BandNoise(visit, sampleRate_Hz, [
        {
          shape: { from_Hz: 300, to_Hz: 3500 },
          rms: 0.15 * vehicle.spread(3) * (accessory ? dB(12 + 12 * severity) : 1),
        },
      ]),
    };
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get('engine')!;
    const turns = motion.turns('engine');
    const rate = motion.rate('engine');
    const relative = (i: number) => rate[i]! / REFERENCE_RATE_HZ;
    const loaded = onGrid(motion, (i) => (0.45 + 0.9 * Math.max(0, motion.torque[i]!)) * relative(i));
    for (const { tone, level } of this.orders)
      tone.addTo(
        out,
        motion,
        turns,
        loaded.map((x) => level * x),
      );
    const burning = onGrid(motion, (i) => loaded[i]! * relative(i));
    addModulation(burning, turns, this.firing, this.strokes, 0);
    // One cylinder differs from the others: that comes once a cycle.
    addModulation(burning, turns, 0.5, 0.3 * this.strokes, 0);
    this.combustion.addTo(out, motion, burning);
    const steady = onGrid(motion, (i) => relative(i) ** 1.3);
    for (const tone of this.accessory.tones) {
      tone.addTo(
        out,
        motion,
        turns,
        steady.map((x) => this.accessory.level * x),
      );
    }
    this.accessory.noise.addTo(out, motion, steady);
  }
}

const REFERENCE_RATE_HZ = 36;
const USUAL_MANNER: EngineManner = { level_db: 0, uneven_db: 0, strokes: 0 };

/** The traction motor of an electric drive: magnetic force waves at multiples of its turning rate, growing with torque. */
export class TractionMotor implements Excitation {
  readonly nodes: readonly Node[];
  private readonly node: Node;
  private readonly shaft: Shaft;
  private readonly ratio: number;
  private readonly orders: { tone: ShaftTone; level: number }[];
  private readonly noise: BandNoise;

  /** @param ratio turns of the motor per turn of `shaft` */
  constructor(
    node: Node,
    shaft: Shaft,
    ratio: number,
    vehicle: Random,
    visit: Random,
    sampleRate_Hz: number,
  ) {
    this.node = node;
    this.nodes = [node];
    this.shaft = shaft;
    this.ratio = ratio;
    const polePairs = vehicle.pick([3, 4]);
    this.orders = [1, 6 * polePairs, 12 * polePairs].map((order) => ({
      tone: new ShaftTone(visit, order * ratio),
      level: (order === 1 ? 0.1 : 0.3) * vehicle.spread(3),
    }));
    this.noise = new BandNoise(visit, sampleRate_Hz, [
      { shape: { from_Hz: 300, to_Hz: 4000 }, rms: 0.1 * vehicle.spread(3) },
    ]);
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get(this.node)!;
    const turns = motion.turns(this.shaft);
    const rate = motion.rate(this.shaft);
    const gain = onGrid(
      motion,
      (i) => (0.3 + Math.abs(motion.torque[i]!)) * Math.min(2, (rate[i]! * this.ratio) / 100),
    );
    for (const { tone, level } of this.orders) {
      tone.addTo(
        out,
        motion,
        turns,
        gain.map((x) => level * x),
      );
    }
    this.noise.addTo(out, motion, gain);
  }
}
