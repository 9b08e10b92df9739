import type { BearingGeometry } from '../../../shared/bundle/visit.ts';
import { BandNoise, type Excitation, onGrid, Ringing } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion, Shaft } from '../motion.ts';
import type { Random } from '../random.ts';

/**
 * A rolling bearing with its inner ring turning and its outer ring fixed in the load direction.
 *
 * Kinematics (pure rolling): with g = d/D cos a the cage turns at (1 - g)/2 of the shaft, so that n elements pass a
 * spot on the outer ring n(1 - g)/2 times a turn and a spot on the inner ring n(1 + g)/2 times; an element spins
 * (D/d)(1 - g²)/2 times a turn and touches the two rings with the same spot once each per spin. Real elements slide:
 * all of these run slow by up to 2 %, and each interval differs at random by about 1 %.
 *
 * A defect strikes once per passage, as hard as the load where it happens. Under a load from one side that is a zone
 * of the ring: a defect on the fixed ring always meets the same load, one on the turning ring enters the zone once
 * per turn, one on an element once per cage turn. Each blow sets structural resonances of several kHz ringing.
 * Late wear is many spots side by side: the blows get irregular and drown in the rumble of the rough tracks, which
 * also swells with the load zone.
 */
export type BearingDefect = 'outer' | 'inner' | 'element' | 'cage' | 'worn';

export interface RollingBearingModel {
  readonly node: Node;
  readonly shaft: Shaft;
  readonly geometry: BearingGeometry;
  readonly defect: BearingDefect | null;
  /** RMS of the rumble at reference shaft speed and load, m/s². */
  readonly rumble_m_s2: number;
  /** Height of a blow at reference shaft speed and load, m/s². */
  readonly blow_m_s2: number;
  /** Standard deviation of an interval between blows, in parts of it. */
  readonly irregularity: number;
  /** Shaft rate at which the levels are stated. */
  readonly referenceRate_Hz: number;
}

/** Half-width of the load zone of a bearing under radial load without preload. */
const LOAD_ZONE_RAD = 1.3;

export class RollingBearing implements Excitation {
  readonly nodes: readonly Node[];
  private readonly model: RollingBearingModel;
  private readonly random: Random;
  private readonly load: (motion: Motion, i: number) => number;
  private readonly slip: number;
  private readonly rumble: BandNoise;
  private readonly ringing: Ringing;
  private readonly rates: { blows: number; cage: number };
  private readonly zonePhase: number;
  private nextBlow: number;

  /** @param load load factor around 1 at a point of the step grid */
  constructor(
    model: RollingBearingModel,
    vehicle: Random,
    visit: Random,
    sampleRate_Hz: number,
    load: (motion: Motion, i: number) => number,
  ) {
    this.nodes = [model.node];
    this.model = model;
    this.random = visit;
    this.load = load;
    this.slip = vehicle.range(0.98, 1);
    this.rumble = new BandNoise(visit, sampleRate_Hz, [
      {
        shape: { from_Hz: vehicle.logRange(80, 200), to_Hz: vehicle.logRange(500, 900) },
        rms: model.rumble_m_s2 * 0.8,
      },
      {
        shape: { from_Hz: vehicle.logRange(500, 900), to_Hz: vehicle.logRange(2500, 5000) },
        rms: model.rumble_m_s2 * 0.6,
      },
    ]);
    this.ringing = new Ringing(
      sampleRate_Hz,
      [
        [1500, 3000],
        [2800, 5500],
        [5000, 9000],
      ].map(([from, to]) => ({
        frequency_Hz: vehicle.logRange(from!, to!),
        q: vehicle.range(6, 20),
      })),
    );
    this.rates = bearingRates(model.geometry, model.defect);
    this.zonePhase = visit.range(0, 1);
    this.nextBlow = visit.range(0, 1);
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const { model, rates, slip, load } = this;
    const out = force.get(model.node)!;
    const turns = motion.turns(model.shaft);
    const rate = motion.rate(model.shaft);
    const relative = (i: number) => rate[i]! / model.referenceRate_Hz;
    const gain = onGrid(motion, (i) => load(motion, i) * relative(i) ** 1.3);
    if (model.defect !== null) {
      this.strikeBlows(motion, turns, relative);
      this.ringing.addTo(out, motion.frames);
      // Rough tracks grind harder while their rough part passes the load zone.
      const rough =
        model.defect === 'outer'
          ? 0
          : model.defect === 'inner' || model.defect === 'worn'
            ? 1
            : rates.cage * slip;
      const depth = 0.5;
      for (let i = 0; i < gain.length; i++) {
        gain[i]! *= 1 + depth * Math.cos(2 * Math.PI * (rough * turns[i]! + this.zonePhase));
      }
    }
    this.rumble.addTo(out, motion, gain);
  }

  private strikeBlows(motion: Motion, turns: Float64Array, relative: (i: number) => number): void {
    const { model, rates, slip, random } = this;
    if (rates.blows === 0 || model.blow_m_s2 === 0) return;
    const passages = rates.blows * slip;
    for (let step = 0; step < motion.steps; step++) {
      const from = passages * turns[step]!;
      const to = passages * turns[step + 1]!;
      while (this.nextBlow < to) {
        const within = Math.max(0, (this.nextBlow - from) / (to - from));
        const angle = turns[step]! + within * (turns[step + 1]! - turns[step]!);
        const strength = this.load(motion, step) * relative(step) * this.inZone(angle) * random.spread(1.5);
        this.ringing.strike((step + within) * motion.hop, model.blow_m_s2 * strength, motion.frames);
        this.nextBlow += Math.max(0.2, random.normal(1, model.irregularity));
      }
    }
  }

  /** Load on the defect where it is now, 1 in the middle of the load zone. */
  private inZone(shaftTurns: number): number {
    const { defect } = this.model;
    if (defect === 'outer' || defect === 'worn') return 1;
    const place = defect === 'inner' ? shaftTurns : this.rates.cage * this.slip * shaftTurns;
    const angle = 2 * Math.PI * ((place + this.zonePhase) % 1) - Math.PI;
    if (defect === 'cage') return 0.7 + 0.3 * Math.cos(angle);
    return Math.abs(angle) < LOAD_ZONE_RAD ? Math.cos((angle * Math.PI) / 2 / LOAD_ZONE_RAD) ** 1.1 : 0.08;
  }
}

/** Blows and cage turns per turn of the inner ring. */
export function bearingRates(geometry: BearingGeometry, defect: BearingDefect | null) {
  const { rollingElements, elementDiameter_mm, pitchDiameter_mm, contactAngle_deg } = geometry;
  const g = (elementDiameter_mm / pitchDiameter_mm) * Math.cos((contactAngle_deg * Math.PI) / 180);
  const cage = (1 - g) / 2;
  const spin = (pitchDiameter_mm / elementDiameter_mm) * ((1 - g * g) / 2);
  const blows = {
    outer: rollingElements * cage,
    inner: rollingElements * (1 - cage),
    element: 2 * spin,
    cage,
    worn: 0,
  };
  return { blows: defect === null ? 0 : blows[defect], cage };
}
