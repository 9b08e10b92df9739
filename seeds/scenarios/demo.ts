import type { DrivePhase, VehicleModel, VisitScenario } from '../road-drive/scenario.ts';
import { gearFor } from './drive-profile.ts';
import { returningScenario } from './returning.ts';

/**
 * The built-in demo: an invented estate car whose rear differential is worn on the drive flanks. Both rear hubs hear
 * it; beside the differential it is clearly loudest.
 */
const VEHICLE: VehicleModel = {
  label: 'Demo estate car',
  odometer_km: 148_200,
  layout: 'rwd',
  electricDrive: false,
  rigidRearAxle: false,
  nominalCircumference_m: 1.985,
  trueCircumference_m: [1.962, 1.9625, 1.961, 1.9615],
  wheelbase_m: 2.83,
  track_m: 1.55,
  wheelBearing: { rollingElements: 13, elementDiameter_mm: 12, pitchDiameter_mm: 63, contactAngle_deg: 35 },
  finalDrive: { front: null, rear: { ringTeeth: 41, pinionTeeth: 11 } },
  cylinders: 4,
  gearRatios: [3.78, 2.18, 1.43, 1.03, 0.84],
  gearboxInputTeeth: 29,
};

const POSITIONS = [
  'hub-front-left',
  'hub-front-right',
  'hub-rear-left',
  'hub-rear-right',
  'differential-rear-left',
  'differential-rear-right',
  'propshaft-centre-bearing',
  'transmission',
];

/** About four minutes: out of the town, three speeds each with drive, float and coast, sways, and back. */
function demoDrive(): DrivePhase[] {
  const phases: DrivePhase[] = [];
  const add = (
    duration_s: number,
    state: DrivePhase['state'],
    endSpeed_km_h: number,
    torque: number,
    lateral = 0,
    rpm = 2000,
  ) => {
    const gearRatio = gearFor(VEHICLE, Math.max(20, endSpeed_km_h), rpm);
    phases.push({ duration_s, state, endSpeed_km_h, torque, lateral, gearRatio });
  };
  add(4, null, 0, 0);
  add(5, null, 30, 0.6);
  add(8, 'drive', 60, 0.7, 0, 2400);
  for (const speed of [60, 80, 100]) {
    add(6, null, speed, 0.45);
    add(12, 'drive', speed + 2, 0.25);
    add(9, 'drive', speed + 12, 0.65);
    add(10, 'float', speed + 9, 0.01);
    add(12, 'coast', speed - 4, -0.4, 0, 2400);
    add(5, null, speed, 0.35);
    add(5, 'swayLeft', speed, 0.15, 0.85);
    add(5, 'swayRight', speed, 0.15, -0.85);
  }
  add(16, 'coast', 55, -0.35, 0, 2300);
  add(12, 'drive', 56, 0.2);
  add(10, null, 25, -0.3);
  return phases;
}

export function demoScenario(): VisitScenario {
  return {
    seed: 9,
    visitSeed: 1,
    startedAt: '2025-05-12T08:40:00.000Z',
    sampleRate_Hz: 48_000,
    vehicle: VEHICLE,
    known: { circumference: true, wheelBearing: true, finalDrive: true, engine: true, gearRatio: true },
    fault: { source: 'differential-rear', mechanism: 'driveFlank', severity: 0.55 },
    runs: [
      {
        placement: POSITIONS,
        drive: demoDrive(),
        readings: { kind: 'satellite', rate_Hz: 5, lateness_s: 0.6, resolution_km_h: 0.1, scale: 1 },
        tacho: null,
        badChannels: {},
      },
    ],
  };
}

/** The demo car after some years of ordinary driving, its noise grown; the pickups are clamped anew. */
export function demoReturningScenario(yearsLater: number): VisitScenario {
  const first = demoScenario();
  return returningScenario(first, {
    yearsLater,
    severity: Math.min(1, first.fault.severity + 0.4 * yearsLater),
  });
}

/** What the built-in demo drives: the car as it is when it has come back, so that its noise is plain. */
export const demoToday = (): VisitScenario => demoReturningScenario(1);

/** Up to the first pair of sways, a bit over a minute. */
const FIRST_SPEED_PHASES = 10;

/** A demo visit with a shorter drive, for where its sound has to be made before it is heard. */
export const shortened = (scenario: VisitScenario): VisitScenario => ({
  ...scenario,
  runs: scenario.runs.map((run) => ({ ...run, drive: run.drive.slice(0, FIRST_SPEED_PHASES) })),
});
