import type { DriveLayout } from '../../shared/driveline/words.ts';
import { Random } from '../road-drive/random.ts';
import type { VehicleModel } from '../road-drive/scenario.ts';

/** An invented vehicle with plausible proportions. */
export function randomVehicle(seed: number, layout: DriveLayout, electricDrive: boolean): VehicleModel {
  const random = new Random(seed, 'vehicle');
  const nominal = Math.round(random.range(1.8, 2.3) * 1000) / 1000;
  const scale = random.range(0.98, 1.02);
  // Tyres of one set wear nearly alike.
  const circumference = () => nominal * scale * (1 + random.normal(0, 0.0008));
  const rear = layout !== 'fwd' && !electricDrive && random.chance(0.4);
  const pinionTeeth = electricDrive ? random.integer(17, 23) : random.integer(9, 14);
  const ringTeeth = coprime(
    Math.round(pinionTeeth * (electricDrive ? random.range(2.8, 3.8) : random.range(3.1, 4.4))),
    pinionTeeth,
  );
  const pair = { ringTeeth, pinionTeeth };
  const elements = random.integer(11, 16);
  const elementDiameter_mm = Math.round(random.range(10, 13) * 10) / 10;
  return {
    label: `${electricDrive ? 'Electric' : 'Test'} vehicle ${seed}`,
    odometer_km: Math.round(random.logRange(30_000, 280_000)),
    layout,
    electricDrive,
    rigidRearAxle: rear,
    nominalCircumference_m: nominal,
    trueCircumference_m: [circumference(), circumference(), circumference(), circumference()],
    wheelbase_m: random.range(2.45, 3.2),
    track_m: random.range(1.48, 1.68),
    wheelBearing: {
      rollingElements: elements,
      elementDiameter_mm,
      pitchDiameter_mm:
        Math.round(((elements * elementDiameter_mm * random.range(1.2, 1.45)) / Math.PI) * 10) / 10,
      contactAngle_deg: random.pick([30, 35, 38, 40]),
    },
    finalDrive: { front: layout === 'rwd' ? null : pair, rear: layout === 'fwd' ? null : pair },
    cylinders: electricDrive ? 0 : random.pick([3, 4, 4, 4, 6, 6, 8]),
    gearRatios: electricDrive ? [random.range(2.4, 3.2)] : gearLadder(random),
    gearboxInputTeeth: random.integer(23, 37),
  };
}

function gearLadder(random: Random): number[] {
  const gears = random.integer(5, 7);
  const lowest = random.range(3.2, 4.2);
  const highest = random.range(0.68, 0.9);
  return Array.from({ length: gears }, (_, i) => {
    const ratio = lowest * (highest / lowest) ** (i / (gears - 1));
    return Math.round(ratio * 1000) / 1000;
  });
}

/** Tooth counts of a final drive share no factor, so that every tooth meets every other. */
function coprime(ringTeeth: number, pinionTeeth: number): number {
  let ring = ringTeeth;
  while (divisor(ring, pinionTeeth) > 1) ring++;
  return ring;
}
const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
