import type { GearPair } from '../../../shared/bundle/visit.ts';
import { addTone, BandNoise, dB, type Excitation, onGrid } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion, Shaft } from '../motion.ts';
import type { Random } from '../random.ts';
import type { Fault, VehicleModel } from '../scenario.ts';
import { RollingBearing } from './rolling-bearing.ts';

/**
 * A final drive: ring gear and pinion. The teeth meet `ringTeeth` times per turn of the ring gear; the transmission
 * error makes tones there and at two and three times that. Run-out of the ring gear and of the pinion modulates
 * their level and phase once per turn of either: sidebands at the ring's and the pinion's rate.
 *
 * The tones grow with the torque carried. Worn flanks sound on the side that is worn: drive flanks under power,
 * coast flanks under engine braking. A worn pinion or carrier bearing grinds at all torques, a little more under
 * load, from the place where it sits, and may tick as a rolling bearing does.
 */
class GearMesh implements Excitation {
  readonly nodes: readonly Node[];
  private readonly node: Node;
  private readonly pair: GearPair;
  private readonly ring: Shaft;
  private readonly pinion: Shaft;
  private readonly answer: (torque: number) => number;
  private readonly harmonics: { level: number; offset: number }[];
  private readonly runOut: { ring: RunOut; pinion: RunOut };

  constructor(axle: 'front' | 'rear', pair: GearPair, vehicle: Random, visit: Random, fault: Fault | null) {
    this.node = `differential-${axle}`;
    this.nodes = [this.node];
    this.pair = pair;
    this.ring = `ring-${axle}`;
    this.pinion = `pinion-${axle}`;
    const gears = fault && fault.mechanism !== 'bearing' ? fault : null;
    const severity = gears?.severity ?? 0;
    // Nobody complains of a worn gear set that was unusually quiet: a smaller spread below a fault.
    const healthy = 0.2 * vehicle.spread(gears ? 2 : 4);
    this.answer = flankAnswer(healthy, gears, vehicle);
    this.harmonics = [1, vehicle.range(0.25, 0.8), vehicle.range(0.1, 0.5)].map((level) => ({
      level,
      offset: visit.range(0, 1),
    }));
    const runOut = (healthyDepth: number): RunOut => ({
      depth: Math.min(0.9, healthyDepth * vehicle.spread(3) + vehicle.range(0.1, 0.6) * severity),
      swing: 0.02 * vehicle.spread(3) * (1 + 2 * severity),
      phase: visit.range(0, 1),
    });
    this.runOut = { ring: runOut(0.1), pinion: runOut(0.1) };
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const out = force.get(this.node)!;
    const ring = motion.turns(this.ring);
    const pinion = motion.turns(this.pinion);
    const rate = motion.rate(this.ring);
    const { runOut } = this;
    const level = onGrid(motion, (i) => {
      const modulation = swell(runOut.ring, ring[i]!) * swell(runOut.pinion, pinion[i]!);
      return this.answer(motion.torque[i]!) * modulation * (rate[i]! / REFERENCE_RING_HZ) ** 1.2;
    });
    const phase = onGrid(motion, (i) => {
      const swing = sway(runOut.ring, ring[i]!) + sway(runOut.pinion, pinion[i]!);
      return this.pair.ringTeeth * ring[i]! + swing;
    });
    this.harmonics.forEach(({ level: share, offset }, h) => {
      const multiple = phase.map((turns) => (h + 1) * turns + offset);
      addTone(
        out,
        motion,
        multiple,
        level.map((x) => x * share),
      );
    });
  }
}

interface RunOut {
  readonly depth: number;
  /** Phase swing in turns of the mesh. */
  readonly swing: number;
  readonly phase: number;
}
const swell = (runOut: RunOut, turns: number) =>
  1 + runOut.depth * Math.cos(2 * Math.PI * (turns + runOut.phase));
const sway = (runOut: RunOut, turns: number) => runOut.swing * Math.sin(2 * Math.PI * (turns + runOut.phase));

/** Wheel rate at 80 km/h with a usual tyre, where mesh levels are stated. */
const REFERENCE_RING_HZ = 11.1;

/** Mesh amplitude in m/s² against torque. */
function flankAnswer(healthy_m_s2: number, fault: Fault | null, vehicle: Random): (torque: number) => number {
  const power = vehicle.range(0.5, 0.9);
  const idle = vehicle.range(0.1, 0.35);
  const carry = (torque: number) => idle + (1 - idle) * Math.min(1, 2 * Math.abs(torque)) ** power;
  const worn = fault ? dB(12 + 14 * fault.severity) : 1;
  const other = fault ? dB(3 + 6 * fault.severity) : 1;
  const drive = fault?.mechanism === 'coastFlank' ? other : worn;
  const coast = fault?.mechanism === 'driveFlank' ? other : worn;
  return (torque) => {
    // Around zero torque the teeth swap flanks: mix over a small range, no jump.
    const forward = 1 / (1 + Math.exp(-torque / 0.04));
    return healthy_m_s2 * carry(torque) * (drive * forward + coast * (1 - forward));
  };
}

export function finalDrive(
  axle: 'front' | 'rear',
  pair: GearPair,
  model: VehicleModel,
  vehicle: Random,
  visit: Random,
  sampleRate_Hz: number,
  fault: Fault | null,
): Excitation[] {
  const worn = fault?.mechanism === 'bearing' ? fault : null;
  const places =
    axle === 'rear'
      ? (['differential-rear-pinion', 'differential-rear-left', 'differential-rear-right'] as const)
      : (['differential-front', 'differential-front-left', 'differential-front-right'] as const);
  const seat = vehicle.integer(0, 2);
  const shaft: Shaft = seat === 0 ? `pinion-${axle}` : `ring-${axle}`;
  const ratio = seat === 0 ? pair.ringTeeth / pair.pinionTeeth : 1;
  const elements = vehicle.integer(13, 22);
  const bearing = new RollingBearing(
    {
      node: places[seat]!,
      shaft,
      geometry: {
        rollingElements: elements,
        elementDiameter_mm: 11,
        pitchDiameter_mm: (elements * 11 * vehicle.range(1.12, 1.3)) / Math.PI,
        contactAngle_deg: vehicle.range(12, 25),
      },
      defect: worn ? vehicle.pick(['outer', 'inner', 'worn'] as const) : null,
      rumble_m_s2: worn ? 0.5 * dB(20 * worn.severity) * vehicle.spread(2) : 0.12 * vehicle.spread(3),
      blow_m_s2: worn ? 3 * dB(12 * worn.severity) * vehicle.spread(3) : 0,
      irregularity: 0.01 + 0.04 * (worn?.severity ?? 0) ** 2,
      referenceRate_Hz: (80 / 3.6 / model.nominalCircumference_m) * ratio,
    },
    vehicle,
    visit,
    sampleRate_Hz,
    (motion, i) => 0.7 + 0.6 * Math.abs(motion.torque[i]!),
  );
  const casing = new CasingNoise(
    `differential-${axle}`,
    `ring-${axle}`,
    vehicle,
    visit,
    sampleRate_Hz,
    fault,
  );
  return [new GearMesh(axle, pair, vehicle, visit, fault), bearing, casing];
}

/** Churning oil and the many small roughnesses of a gear set: weak noise, more of it from worn teeth. */
class CasingNoise implements Excitation {
  readonly nodes: readonly Node[];
  private readonly node: Node;
  private readonly ring: Shaft;
  private readonly noise: BandNoise;

  constructor(
    node: Node,
    ring: Shaft,
    vehicle: Random,
    visit: Random,
    sampleRate_Hz: number,
    fault: Fault | null,
  ) {
    this.node = node;
    this.nodes = [node];
    this.ring = ring;
    const rms = 0.08 * vehicle.spread(3) * (fault ? dB(10 * fault.severity) : 1);
    const from_Hz = vehicle.logRange(150, 400);
    this.noise = new BandNoise(visit, sampleRate_Hz, [{ shape: { from_Hz, to_Hz: 8 * from_Hz }, rms }]);
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const rate = motion.rate(this.ring);
    const gain = onGrid(
      motion,
      (i) => (0.6 + 0.8 * Math.abs(motion.torque[i]!)) * (rate[i]! / REFERENCE_RING_HZ) ** 1.2,
    );
    this.noise.addTo(force.get(this.node)!, motion, gain);
  }
}
