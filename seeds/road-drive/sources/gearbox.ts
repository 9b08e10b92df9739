import { addTone, BandNoise, dB, type Excitation, onGrid } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion } from '../motion.ts';
import type { Random } from '../random.ts';
import type { Fault, VehicleModel } from '../scenario.ts';

/**
 * The transmission: a gear pair that is always in mesh on the engine side (teeth times engine speed) and the pair of
 * the gear engaged (teeth times output speed), both louder under torque. With an electric drive these are the stages
 * of the reduction, high in frequency because the motor turns fast. A worn gear sounds in its own gear only; a worn
 * bearing of the input shaft grinds in all, with the speed of the engine and not of the road.
 */
export class Gearbox implements Excitation {
  readonly nodes: readonly Node[] = ['transmission'];
  private readonly inputTeeth: number;
  private readonly pairs: { ratio: number; teeth: number; level: number }[];
  private readonly inputLevel: number;
  private readonly offsets: number[];
  private readonly runOut: { depth: number; phase: number };
  private readonly noise: BandNoise;
  private readonly reference_Hz: number;

  constructor(
    model: VehicleModel,
    vehicle: Random,
    visit: Random,
    sampleRate_Hz: number,
    fault: Fault | null,
  ) {
    const severity = fault?.severity ?? 0;
    const gear = fault?.mechanism === 'gear';
    const bearing = fault?.mechanism === 'bearing';
    this.inputTeeth = model.gearboxInputTeeth;
    const worn = vehicle.integer(Math.floor(model.gearRatios.length / 2), model.gearRatios.length - 1);
    this.pairs = model.gearRatios.map((ratio, i) => ({
      ratio,
      teeth: vehicle.integer(24, 47),
      level:
        0.18 *
        vehicle.spread(3) *
        (gear && i === worn ? dB(14 + 14 * severity) : gear ? dB(3 * severity) : 1),
    }));
    this.inputLevel =
      0.15 * vehicle.spread(3) * (gear ? dB(8 + 12 * severity) : bearing ? dB(4 + 4 * severity) : 1);
    this.offsets = Array.from({ length: 4 }, () => visit.range(0, 1));
    this.runOut = { depth: 0.1 * vehicle.spread(3) + (gear ? 0.4 * severity : 0), phase: visit.range(0, 1) };
    const rumble = bearing ? dB(14 + 14 * severity) : gear ? dB(2 + 5 * severity) : 1;
    const from_Hz = vehicle.logRange(150, 350);
    this.noise = new BandNoise(visit, sampleRate_Hz, [
      { shape: { from_Hz, to_Hz: vehicle.logRange(1800, 4000) }, rms: 0.2 * vehicle.spread(2.5) * rumble },
    ]);
    // Levels are stated near 80 km/h in a high gear.
    this.reference_Hz = model.electricDrive ? 100 : 36;
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get('transmission')!;
    const input = motion.turns('engine');
    const output = motion.turns('gearbox-output');
    const inputRate = motion.rate('engine');
    const relative = (i: number) => inputRate[i]! / this.reference_Hz;
    const carried = (i: number) => 0.3 + 0.9 * Math.min(1, 1.5 * Math.abs(motion.torque[i]!)) ** 0.7;
    const runOut = (turns: number) =>
      1 + this.runOut.depth * Math.cos(2 * Math.PI * (turns + this.runOut.phase));
    const engaged = (i: number) =>
      this.pairs.reduce((a, b) =>
        Math.abs(b.ratio - motion.gearRatio[i]!) < Math.abs(a.ratio - motion.gearRatio[i]!) ? b : a,
      );

    const inputLevel = onGrid(
      motion,
      (i) => this.inputLevel * carried(i) * relative(i) ** 1.1 * runOut(input[i]!),
    );
    for (const harmonic of [1, 2]) {
      const phase = input.map((turns) => harmonic * this.inputTeeth * turns + this.offsets[harmonic - 1]!);
      addTone(out, motion, phase, harmonic === 1 ? inputLevel : inputLevel.map((x) => 0.5 * x));
    }
    for (const pair of this.pairs) {
      const level = onGrid(motion, (i) =>
        engaged(i) === pair ? pair.level * carried(i) * relative(i) ** 1.1 * runOut(output[i]!) : 0,
      );
      if (level.every((x) => x === 0)) continue;
      for (const harmonic of [1, 2]) {
        const phase = output.map((turns) => harmonic * pair.teeth * turns + this.offsets[harmonic + 1]!);
        addTone(out, motion, phase, harmonic === 1 ? level : level.map((x) => 0.4 * x));
      }
    }
    this.noise.addTo(
      out,
      motion,
      onGrid(motion, (i) => (0.7 + 0.5 * Math.abs(motion.torque[i]!)) * relative(i) ** 1.3),
    );
  }
}

/** The gears that take power to the front axle of a four-wheel drive: chain or gears at propshaft speed. */
export class TransferCase implements Excitation {
  readonly nodes: readonly Node[] = ['transfer-case'];
  private readonly teeth: number;
  private readonly level: number;
  private readonly offset: number;
  private readonly noise: BandNoise;

  constructor(vehicle: Random, visit: Random, sampleRate_Hz: number) {
    this.teeth = vehicle.integer(28, 45);
    this.level = 0.2 * vehicle.spread(4);
    this.offset = visit.range(0, 1);
    this.noise = new BandNoise(visit, sampleRate_Hz, [
      { shape: { from_Hz: 200, to_Hz: 2500 }, rms: 0.15 * vehicle.spread(3) },
    ]);
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get('transfer-case')!;
    const turns = motion.turns('gearbox-output');
    const rate = motion.rate('gearbox-output');
    const gain = onGrid(motion, (i) => (0.4 + Math.abs(motion.torque[i]!)) * (rate[i]! / 40) ** 1.2);
    addTone(
      out,
      motion,
      turns.map((x) => this.teeth * x + this.offset),
      gain.map((x) => this.level * x),
    );
    this.noise.addTo(out, motion, gain);
  }
}
