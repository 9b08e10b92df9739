import { describe, expect, it } from 'vitest';
import { plainVisit } from '../../seeds/other-drives/plain-drive.ts';
import { HOPS, type HopName } from '../../seeds/road-drive/hops.ts';
import { otherPhysics } from '../../seeds/road-drive/other-physics.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import type { EngineManner, OtherPhysics } from '../../seeds/road-drive/scenario.ts';
import { RoadDrive, randomScenario } from '../../seeds/scenarios/index.ts';
import { envelopeLine, orderLevel_dB, shaftAngle } from './measure.ts';
import { steady } from './steady.ts';

/** Of all healthy parts engines are the most unlike: the judge must have heard many before it accuses one. */

const base = randomScenario(5, {
  source: 'none',
  layout: 'rwd',
  electricDrive: false,
  runs: 1,
  sampleRate_Hz: 16_000,
});
const scenario = steady(base, ['engine-mount'], { duration_s: 8, endSpeed_km_h: 90, torque: 0.6 });
const { ringTeeth, pinionTeeth } = base.vehicle.finalDrive.rear!;
const crank = ringTeeth / pinionTeeth;

function atTheMount(engine: EngineManner) {
  const asUsual = { loss: 1, spread: 1, corner: 1 };
  const hops = Object.fromEntries((Object.keys(HOPS) as HopName[]).map((name) => [name, asUsual]));
  const physics: OtherPhysics = { spread: 1, hops: hops as OtherPhysics['hops'], engine };
  const drive = new RoadDrive({ ...scenario, physics }, 0);
  const [samples] = drive.render(drive.frames);
  return { samples: samples!, wheels: shaftAngle(drive, ['rear-left', 'rear-right']) };
}
const usual = atTheMount({ level_db: 0, uneven_db: 0, strokes: 0 });

describe('a healthy engine under other laws', () => {
  it('pulls less evenly: its half turns stand out more, its firing does not', () => {
    const uneven = atTheMount({ level_db: 0, uneven_db: 12, strokes: 0 });
    const step_dB = (turns: number): number =>
      orderLevel_dB(uneven.samples, uneven.wheels, turns * crank) -
      orderLevel_dB(usual.samples, usual.wheels, turns * crank);
    const firing = base.vehicle.cylinders / 2;
    expect(step_dB(0.5)).toBeGreaterThan(8);
    expect(step_dB(firing)).toBeCloseTo(0, 0);
  });

  it('burns in strokes that its noise follows', () => {
    const stroking = atTheMount({ level_db: 0, uneven_db: 0, strokes: 1 });
    const firing = (base.vehicle.cylinders / 2) * crank;
    const line = (heard: typeof usual) =>
      envelopeLine(heard.samples, heard.wheels, 0.9 * firing, 1.1 * firing);
    expect(line(stroking).order).toBeCloseTo(firing, 1);
    expect(line(stroking).prominence_dB).toBeGreaterThan(line(usual).prominence_dB + 3);
  });

  it('is drawn anew for every car', () => {
    const drawn = Array.from({ length: 200 }, (_, seed) => otherPhysics(new Random(seed)).engine);
    for (const key of ['level_db', 'uneven_db', 'strokes'] as const) {
      const all = drawn.map((engine) => engine[key]).sort((a, b) => a - b);
      expect(all.at(-20)! - all[20]!).toBeGreaterThan(0.7 * (all.at(-1)! - all[0]!));
    }
  });
});

it('the plain drive draws laws that leave healthy cars within full scale', () => {
  for (let seed = 0; seed < 12; seed++) {
    const { samples } = plainVisit(seed, {
      source: 'none',
      layout: 'awd',
      placements: [['engine-mount', 'transmission']],
      excess_db: 0,
      seconds: 3,
      otherwise: true,
    });
    for (const channel of samples[0]!) {
      expect(channel.every((x) => Math.abs(x) < 1)).toBe(true);
      expect(channel.some((x) => x !== 0)).toBe(true);
    }
  }
});
