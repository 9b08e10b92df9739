import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { bearingRates } from '../../shared/driveline/bearing.ts';
import type { DriveLayout, Source } from '../../shared/driveline/words.ts';
import { Dice } from './dice.ts';
import {
  type DriveOptions,
  type DriveVisit,
  dB,
  driveRun,
  driveVisit,
  FULL_SCALE_M_S2,
  finalDrives,
  mix,
  partsOf,
  STATES,
  stateAt,
} from './drive-visit.ts';
import { bandNoise, lowPassed, noiseAround, strike } from './noises.ts';

/**
 * A third road drive with assumptions of its own, so that what the diagnosis believes is held against three: noise
 * loses the same at all frequencies from joint to joint, clamps are now and then far off, every car has another
 * loudness and another colour of noise, and a fault is either pure tones or pure noise, never both.
 */

/** Joints between neighbouring places and parts; a part's noise takes the shortest way. */
const JOINTS: readonly (readonly [string, string, number])[] = [
  ['engine', 'engine-mount', 0.4],
  ['engine', 'transmission', 0.9],
  ['engine-mount', 'body', 1.2],
  ['transmission', 'body', 1.4],
  ['body', 'hub-front-left', 1.6],
  ['body', 'hub-front-right', 1.6],
  ['body', 'subframe-rear', 1.2],
  ['subframe-rear', 'hub-rear-left', 1],
  ['subframe-rear', 'hub-rear-right', 1],
];
const FRONT: typeof JOINTS = [
  ['differential-front', 'differential-front-left', 0.2],
  ['differential-front', 'differential-front-right', 0.2],
  ['differential-front-left', 'hub-front-left', 1.1],
  ['differential-front-right', 'hub-front-right', 1.1],
];
const REAR: typeof JOINTS = [
  ['differential-rear', 'differential-rear-left', 0.2],
  ['differential-rear', 'differential-rear-right', 0.2],
  ['differential-rear', 'differential-rear-pinion', 0.2],
  ['differential-rear-left', 'hub-rear-left', 1.1],
  ['differential-rear-right', 'hub-rear-right', 1.1],
  ['differential-rear', 'subframe-rear', 0.9],
  ['differential-rear-pinion', 'propshaft-centre-bearing', 1],
];

function jointsOf(layout: DriveLayout): (readonly [string, string, number])[] {
  const joints = [...JOINTS];
  if (layout !== 'rwd') joints.push(...FRONT);
  if (layout !== 'fwd') joints.push(...REAR);
  if (layout === 'fwd') joints.push(['transmission', 'differential-front', 0.4]);
  if (layout === 'rwd') joints.push(['transmission', 'propshaft-centre-bearing', 1]);
  if (layout === 'awd') {
    joints.push(
      ['transmission', 'transfer-case', 0.5],
      ['transfer-case', 'differential-front', 0.8],
      ['transfer-case', 'propshaft-centre-bearing', 1],
    );
  }
  return joints;
}

export function plainPlaces(layout: DriveLayout): string[] {
  const inside = new Set(['engine', 'body', 'differential-front', 'differential-rear']);
  return [...new Set(jointsOf(layout).flatMap((joint) => joint.slice(0, 2) as [string, string]))].filter(
    (n) => !inside.has(n),
  );
}

/** Length of the shortest way from a part to every place. */
export function hopsOf(part: Source, layout: DriveLayout): Map<string, number> {
  const hops = new Map([[part.replace(/^(wheel-bearing|tyre)/, 'hub'), 0]]);
  const joints = jointsOf(layout);
  for (let changed = true; changed; ) {
    changed = false;
    for (const [p, q, length] of joints) {
      for (const [a, b] of [
        [p, q],
        [q, p],
      ] as const) {
        const through = (hops.get(a) ?? 99) + length;
        if (through < (hops.get(b) ?? 99)) {
          hops.set(b, through);
          changed = true;
        }
      }
    }
  }
  return hops;
}

/** Usual value around 0 dB, now and then far off: Student's t with 3 degrees of freedom. */
function heavyTailed(dice: Dice): number {
  return dice.normal() / Math.sqrt((dice.normal() ** 2 + dice.normal() ** 2 + dice.normal() ** 2) / 3);
}

/** Noise that swells with every firing, in place; its mean amplitude stays about the same. */
function inStrokes(
  signal: Float32Array,
  crankTurns: Float64Array,
  cylinders: number,
  { depth, sharpness, unlike }: Strokes,
): void {
  for (let i = 0; i < signal.length; i++) {
    const firings = (crankTurns[i]! * cylinders) / 2;
    const weight = Math.floor(firings) % cylinders === 0 ? 1 - unlike : 1;
    const stroke = weight * Math.sqrt(sharpness) * (0.5 - 0.5 * Math.cos(2 * Math.PI * firings)) ** sharpness;
    signal[i] = signal[i]! * (1 - depth + 2 * depth * stroke);
  }
}

export interface PlainOptions extends DriveOptions {
  /** Laws drawn anew for this car instead of the usual ones. */
  readonly otherwise?: boolean;
}

/** A cylinder that lags behind is heard in the first half and whole turns. */
const FAULTY_HALF_TURNS = 5;

/** How much an engine's noise comes in strokes, one for each firing. */
interface Strokes {
  /** 0 steady, 1 silent between the strokes. */
  readonly depth: number;
  /** The higher, the shorter the strokes. */
  readonly sharpness: number;
  /** By how much one cylinder is weaker than the others. */
  readonly unlike: number;
}

/** What differs from world to world; spreads are standard deviations in dB. */
interface Laws {
  /** How much louder all parts of a kind are than usual, healthy or not. */
  readonly kinds_db: ReadonlyMap<string, number>;
  /** What a joint takes off at most. */
  readonly mostPerHop_db: number;
  readonly levels_db: number;
  readonly lines_db: number;
  readonly paths_db: number;
  readonly mounting_db: number;
  readonly road_db: number;
  /** Above this over the number of hops noise falls by 6 dB per octave. */
  readonly corner_Hz: number;
  /** Chance that a fault is tones and noise at once. */
  readonly both: number;
  /**
   * Amplitudes of a healthy engine's half turns, whole turns and so on, as shares of its own: its cylinders never
   * pull quite alike.
   */
  readonly uneven: readonly number[];
  /** How many multiples of the firing are heard. */
  readonly firings: number;
  readonly strokes: Strokes;
  /** What the load does to gears and engine. */
  readonly load: Readonly<Record<'drive' | 'coast' | 'other', number>>;
}
/** Left and right, front and rear are of one kind. */
const kindOf = (part: Source): string => part.replace(/-(front|rear).*/, '');
const KINDS = [...new Set(partsOf('awd').map(kindOf))];
const USUAL_LAWS: Laws = {
  kinds_db: new Map(KINDS.map((kind) => [kind, 0])),
  mostPerHop_db: 12,
  levels_db: 4,
  lines_db: 4,
  paths_db: 2.5,
  mounting_db: 1.5,
  road_db: 0,
  corner_Hz: Number.POSITIVE_INFINITY,
  both: 0,
  uneven: [0.5, 0.5, 0.5, 0, 0.5],
  firings: 2,
  strokes: { depth: 0, sharpness: 1, unlike: 0 },
  load: { drive: 1.2, coast: 0.9, other: 0.7 },
};
/** Healthy engines are the most unlike of all healthy parts, and many are the loudest of the car. */
const otherLaws = (dice: Dice): Laws => ({
  kinds_db: new Map(KINDS.map((kind) => [kind, dice.uniform(-8, kind === 'engine' ? 18 : 10)])),
  mostPerHop_db: dice.uniform(8, 18),
  levels_db: dice.uniform(1.5, 6),
  lines_db: dice.uniform(2, 6),
  paths_db: dice.uniform(1, 4.5),
  mounting_db: dice.uniform(0.7, 2.5),
  road_db: dice.uniform(-6, 6),
  corner_Hz: 2 ** dice.uniform(8.5, 13),
  both: 0.4,
  uneven: otherUnevenness(dice),
  firings: Math.round(dice.uniform(1, 8)),
  strokes: { depth: dice.uniform(), sharpness: dice.uniform(1, 8), unlike: dice.uniform(0, 0.5) },
  load: { drive: dice.uniform(1, 2), coast: dice.uniform(0.5, 1.5), other: dice.uniform(0.3, 1) },
});

function otherUnevenness(dice: Dice): number[] {
  const size = 0.1 * 40 ** dice.uniform();
  return Array.from({ length: Math.round(dice.uniform(3, 24)) }, () => size * dice.uniform(0.1, 1));
}

const RATE_HZ = 20_000;

/** Builds the visit; every choice follows from the seed. */
export function plainVisit(seed: number, options: PlainOptions): DriveVisit {
  const { source, layout, placements, excess_db, seconds = 12 } = options;
  const dice = new Dice(seed + 77_000);
  const laws = options.otherwise ? otherLaws(new Dice(seed + 99_000)) : USUAL_LAWS;
  const elements = Math.round(dice.uniform(9, 15));
  const bearing = {
    rollingElements: elements,
    elementDiameter_mm: 10,
    pitchDiameter_mm: elements * 10 * dice.uniform(0.38, 0.44),
    contactAngle_deg: dice.uniform(0, 35),
  };
  const pair = (least: number) => {
    const pinionTeeth = Math.round(dice.uniform(9, 17));
    return { ringTeeth: Math.round(pinionTeeth * dice.uniform(least, least + 1)), pinionTeeth };
  };
  const front = pair(3.3);
  const rear = pair(3.1);
  const cylinders = dice.pick([3, 4, 4, 6]);
  const final = layout === 'fwd' ? front : rear;
  const ratio = final.ringTeeth / final.pinionTeeth;
  const gears = [dice.uniform(0.75, 1.05), dice.uniform(1.1, 1.5)];
  const gearTeeth = Math.round(dice.uniform(19, 43));
  const perHop_db = dice.uniform(4, laws.mostPerHop_db);
  const loudness_db = 5 * dice.normal();
  const circumference_m = dice.uniform(1.8, 2.3);
  const trueCircumference_m = circumference_m * dice.uniform(0.98, 1.015);
  const parts = partsOf(layout);
  const pathOff = new Map<string, number>();
  const car = new Map(
    parts.map((part) => {
      for (const place of plainPlaces(layout)) pathOff.set(`${part} ${place}`, laws.paths_db * dice.normal());
      const low_Hz = dice.uniform(60, 300);
      const kind_db = laws.kinds_db.get(kindOf(part))!;
      return [
        part,
        {
          hops: hopsOf(part, layout),
          level_db: kind_db + laws.levels_db * dice.normal(),
          line_db: kind_db + laws.lines_db * dice.normal(),
          low_Hz,
          high_Hz: low_Hz * 2 ** dice.uniform(2.5, 5),
          // The fault: tones or noise, in a range of its own.
          tones: dice.uniform() < 0.5,
          fault_Hz: 2 ** dice.uniform(7, 11),
          octaves: dice.uniform(1.5, 4),
          defect: dice.pick(['outer', 'inner'] as const),
          slip: dice.uniform(0.985, 1),
        },
      ] as const;
    }),
  );
  const runs: VisitToAnalyse['runs'][number][] = [];
  const samples: Float32Array[][] = [];
  for (const [r, placement] of placements.entries()) {
    const frames = RATE_HZ * seconds;
    const speed_km_h = dice.uniform(55, 105);
    const drift_km_h = dice.uniform(-5, 5);
    const v = (t: number): number => speed_km_h + (drift_km_h * t) / seconds;
    const span_s = seconds / STATES.length;
    const state = stateAt(STATES, seconds);
    const gearOf = (k: number): number => gears[(k + r) % 2]!;
    const gear = (t: number): number => gearOf(Math.min(STATES.length - 1, Math.floor(t / span_s)));
    const growth = (speed_km_h / 80) ** dice.uniform(0.8, 2);
    const channels = placement.map(() => new Float32Array(frames));
    const gains = placement.map(() =>
      dB(loudness_db + laws.mounting_db * Math.max(-4, Math.min(4, heavyTailed(dice)))),
    );
    const wheelTurns = new Float64Array(frames);
    const crankTurns = new Float64Array(frames);
    for (let i = 1; i < frames; i++) {
      const turned = v(i / RATE_HZ) / 3.6 / trueCircumference_m / RATE_HZ;
      wheelTurns[i] = wheelTurns[i - 1]! + turned;
      crankTurns[i] = crankTurns[i - 1]! + turned * ratio * gear(i / RATE_HZ);
    }
    for (const part of parts) {
      const own = car.get(part)!;
      const faulty = part === source;
      const signal = bandNoise(frames, RATE_HZ, own.low_Hz, own.high_Hz, dice);
      const noise = 0.08 * dB(own.level_db);
      for (let i = 0; i < frames; i++) signal[i] = noise * signal[i]!;
      const tone = (turns: Float64Array, order: number, amplitude: number): void => {
        const phase = dice.uniform(0, 2 * Math.PI);
        for (let i = 0; i < frames; i++)
          signal[i] = signal[i]! + amplitude * Math.sin(2 * Math.PI * order * turns[i]! + phase);
      };
      const swell = (from: number, turns: Float64Array, order: number, depth: number): void => {
        for (let i = 0; i < frames; i++)
          signal[i] = signal[i]! * (from + depth * Math.cos(2 * Math.PI * order * turns[i]!));
      };
      const line = 0.06 * dB(own.line_db);
      const loud = line * dB(excess_db);
      const both = faulty && laws.both > 0 && dice.uniform() < laws.both;
      const toneFault = faulty && (own.tones || both);
      const addNoise = (): void => {
        mix(signal, noiseAround(frames, RATE_HZ, own.fault_Hz, own.octaves, dice), noise * dB(excess_db));
      };
      if (faulty && (!own.tones || both)) addNoise();
      if (part.startsWith('wheel-bearing')) {
        if (toneFault)
          strike(signal, RATE_HZ, wheelTurns, bearingRates(bearing)[own.defect] * own.slip, 3 * loud, dice);
        if (faulty) {
          const outside = part.endsWith('left') ? 'swayRight' : 'swayLeft';
          const inside = part.endsWith('left') ? 'swayLeft' : 'swayRight';
          for (let i = 0; i < frames; i++) {
            const now = state(i / RATE_HZ);
            signal[i] = signal[i]! * (now === outside ? 1.6 : now === inside ? 0.6 : 1);
          }
        }
      } else if (part.startsWith('tyre')) {
        for (let k = 1; k <= 3; k++) tone(wheelTurns, k, (2 * line) / k);
        if (toneFault) for (let k = 1; k <= 6; k++) tone(wheelTurns, k, (2 * loud) / k);
        else if (faulty) swell(1, wheelTurns, 1, 0.6);
      } else if (part.startsWith('differential')) {
        const { ringTeeth, pinionTeeth } = part.endsWith('front') ? front : rear;
        const size = toneFault ? loud : line;
        tone(wheelTurns, ringTeeth, size);
        tone(wheelTurns, 2 * ringTeeth, 0.5 * size);
        if (toneFault) {
          for (const away of [-1, 1, -ringTeeth / pinionTeeth, ringTeeth / pinionTeeth])
            tone(wheelTurns, ringTeeth + away, 0.25 * size);
        }
      } else if (part === 'propshaft-centre-bearing') {
        tone(wheelTurns, ratio, toneFault ? 1.5 * loud : 1.5 * line);
        tone(wheelTurns, 2 * ratio, line);
        if (faulty && !toneFault) swell(1, wheelTurns, ratio, 0.5);
      } else if (part === 'transmission') {
        tone(crankTurns, gearTeeth, toneFault ? loud : line);
        tone(crankTurns, 2 * gearTeeth, 0.4 * (toneFault ? loud : line));
      } else {
        inStrokes(signal, crankTurns, cylinders, laws.strokes);
        for (let k = 1; k <= laws.firings; k++) tone(crankTurns, (k * cylinders) / 2, (6 * line) / k);
        for (const [k, share] of laws.uneven.entries()) {
          if (share > 0)
            tone(
              crankTurns,
              (k + 1) / 2,
              Math.max(share * line, toneFault && k < FAULTY_HALF_TURNS ? loud : 0),
            );
        }
      }
      if (!part.startsWith('tyre') && !part.startsWith('wheel-bearing')) {
        for (let i = 0; i < frames; i++) {
          const now = state(i / RATE_HZ);
          signal[i] = signal[i]! * laws.load[now === 'drive' || now === 'coast' ? now : 'other'];
        }
      }
      placement.forEach((place, c) => {
        const loss_db = perHop_db * own.hops.get(place)! + pathOff.get(`${part} ${place}`)!;
        const gain = gains[c]! * growth * dB(-loss_db);
        const hops = own.hops.get(place)!;
        const along =
          hops > 0 && laws.corner_Hz / hops < 0.4 * RATE_HZ
            ? lowPassed(signal, RATE_HZ, laws.corner_Hz / hops)
            : signal;
        mix(channels[c]!, along, gain);
      });
    }
    channels.forEach((out, c) => {
      const hub = placement[c]!.startsWith('hub');
      const road = bandNoise(frames, RATE_HZ, 20, dice.uniform(150, 500), dice);
      const size = gains[c]! * growth * dB((hub ? 0 : -9) + 3 * dice.normal());
      for (let i = 0; i < frames; i++) {
        out[i] =
          (out[i]! + 0.15 * dB(laws.road_db) * size * road[i]! + 0.006 * gains[c]! * dice.normal()) /
          FULL_SCALE_M_S2;
      }
    });
    samples.push(channels);
    const t_s = Array.from({ length: seconds }, (_, k) => k);
    runs.push(
      driveRun(r, placement, {
        speed: { t_s, v_km_h: t_s.map((t) => Math.round(v(Math.max(0, t - 0.8)))) },
        segments: STATES.map((now, k) => ({
          from_s: k * span_s + 0.1,
          to_s: (k + 1) * span_s - 0.1,
          state: now,
          gearRatio: gearOf(k),
        })),
      }),
    );
  }
  const known = (): boolean => dice.uniform() < 0.75;
  const vehicle = {
    layout,
    odometer_km: 90_000,
    rollingCircumference_m: circumference_m,
    wheelBearing: known() ? bearing : null,
    finalDrive: known() ? finalDrives(layout, front, rear) : null,
    engine: { cylinders },
    electricDrive: false,
  };
  return driveVisit(source, { vehicle, runs }, samples, RATE_HZ);
}
