import type { VehicleSpec, VisitBundle } from '../../shared/bundle/visit.ts';
import type { Source } from '../../shared/driveline/words.ts';
import { RoadDrive } from './road-drive.ts';
import type { ChannelFault, Mechanism, VisitScenario } from './scenario.ts';

/** What is really so: for tests to compare with, never for the analysis. */
export interface VisitTruth {
  readonly source: Source;
  readonly mechanism: Mechanism;
  readonly severity: number;
  /** Mean true rolling circumference of the four wheels. */
  readonly circumference_m: number;
  /** True over nominal circumference. */
  readonly circumferenceRatio: number;
  readonly runs: readonly RunTruth[];
}

export interface RunTruth {
  /** Turning rates of the wheels: front left, front right, rear left, rear right. */
  readonly wheels: { readonly t_s: readonly number[]; readonly rate_Hz: readonly (readonly number[])[] };
  /** By channel number. */
  readonly badChannels: Readonly<Record<number, ChannelFault>>;
}

export interface SimulatedVisit {
  readonly bundle: VisitBundle;
  readonly truth: VisitTruth;
  readonly runs: readonly { readonly sampleRate_Hz: number; readonly channels: Float32Array[] }[];
}

/** Drives every run of a scenario and keeps all samples: 30 s of 8 channels at 48 kHz are 46 MB. */
export function simulateVisit(scenario: VisitScenario): SimulatedVisit {
  const drives = scenario.runs.map((_, i) => new RoadDrive(scenario, i));
  return {
    bundle: visitBundle(scenario, drives),
    truth: visitTruth(scenario, drives),
    runs: drives.map((drive) => ({
      sampleRate_Hz: drive.sampleRate_Hz,
      channels: drive.render(drive.frames),
    })),
  };
}

export function visitBundle(scenario: VisitScenario, drives: readonly RoadDrive[]): VisitBundle {
  return { formatVersion: 1, vehicle: vehicleSpec(scenario), runs: drives.map((drive) => drive.run) };
}

function vehicleSpec({ vehicle, known }: VisitScenario): VehicleSpec {
  return {
    label: vehicle.label,
    odometer_km: vehicle.odometer_km,
    layout: vehicle.layout,
    rollingCircumference_m: known.circumference ? vehicle.nominalCircumference_m : null,
    wheelBearing: known.wheelBearing ? vehicle.wheelBearing : null,
    finalDrive: known.finalDrive ? vehicle.finalDrive : { front: null, rear: null },
    engine: { cylinders: known.engine && !vehicle.electricDrive ? vehicle.cylinders : null },
    electricDrive: vehicle.electricDrive,
  };
}

function visitTruth(scenario: VisitScenario, drives: readonly RoadDrive[]): VisitTruth {
  const { vehicle, fault } = scenario;
  const circumference_m = vehicle.trueCircumference_m.reduce((a, b) => a + b) / 4;
  return {
    ...fault,
    circumference_m,
    circumferenceRatio: circumference_m / vehicle.nominalCircumference_m,
    runs: drives.map((drive, i) => {
      const t_s = Array.from({ length: Math.floor(drive.duration_s * 10) + 1 }, (_, k) => k / 10);
      const bad = Object.entries(scenario.runs[i]!.badChannels);
      return {
        wheels: { t_s, rate_Hz: t_s.map((t) => drive.wheelRates(t)) },
        badChannels: Object.fromEntries(bad.map(([index, fault]) => [Number(index) + 1, fault])),
      };
    }),
  };
}
