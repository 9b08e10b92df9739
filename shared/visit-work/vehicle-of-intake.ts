import type { z } from 'zod';
import type { GearPair, VehicleSpec } from '../bundle/visit.ts';
import { tyreRolling } from '../driveline/tyre.ts';
import {
  BearingIntakeSchema,
  DrivelineSchema,
  emptyIntake,
  type FinalDriveIntake,
  FinalDriveSchema,
  type Intake,
  IntakeSchema,
  type Tyres,
  TyresSchema,
} from './intake.ts';
import { UNNAMED_VEHICLE } from './unnamed.ts';

/**
 * The vehicle's own facts stand with the vehicle and the visit's with the visit; the intake form shows both. Keys of
 * the vehicle's `spec` beyond the bundle format: `layoutAssumed`, `tyreSize`, `finalDriveRatio`, `gearRatios`.
 */

/** A vehicle as far as the intake knows it. */
export type VehicleFacts = {
  readonly plate: string;
  readonly vin: string | null;
  readonly spec: VehicleSpec;
};

/** The rest of the intake: what belongs to this visit alone. */
export type VisitFacts = {
  readonly complaint: string;
  readonly odometer_km: number | null;
  readonly saved: Intake | null;
};

const AXLES = ['front', 'rear'] as const;

/** The value where it passes the form's own rules; otherwise null, and saving leaves the vehicle's value alone. */
const fitting = <S extends z.ZodType>(schema: S, value: unknown): z.infer<S> | null =>
  schema.safeParse(value ?? null).data ?? null;

const record = (value: unknown): Record<string, unknown> =>
  typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};

function finalDriveOf(spec: VehicleSpec, axle: 'front' | 'rear'): FinalDriveIntake {
  const teeth = spec.finalDrive?.[axle];
  const ratio = record(spec.finalDriveRatio)[axle];
  const empty = { ringTeeth: null, pinionTeeth: null, ratio: null };
  return (
    fitting(FinalDriveSchema, {
      ringTeeth: teeth?.ringTeeth ?? null,
      pinionTeeth: teeth?.pinionTeeth ?? null,
      ratio: typeof ratio === 'number' ? ratio : null,
    }) ?? empty
  );
}

/** The intake form of a visit: what the vehicle and the visit say now, and what was noted in this visit. */
export function intakeOf(vehicle: VehicleFacts, visit: VisitFacts): Intake {
  const { spec } = vehicle;
  const { saved } = visit;
  const blank = emptyIntake();
  const size = record(spec.tyreSize);
  return {
    ownerWords: visit.complaint,
    heard: saved?.heard ?? blank.heard,
    label: spec.label === UNNAMED_VEHICLE ? '' : spec.label.slice(0, 200),
    plate: vehicle.plate,
    vin: fitting(IntakeSchema.shape.vin, vehicle.vin),
    odometer_km: fitting(IntakeSchema.shape.odometer_km, visit.odometer_km),
    tyres: {
      size: fitting(TyresSchema.shape.size, size.front),
      rearSize: fitting(TyresSchema.shape.rearSize, size.rear),
      wheels: saved?.tyres.wheels ?? blank.tyres.wheels,
    },
    driveline: {
      layout: spec.layoutAssumed ? null : spec.layout,
      electricDrive: spec.electricDrive ?? null,
      cylinders: spec.engine?.cylinders ?? null,
      finalDrive: { front: finalDriveOf(spec, 'front'), rear: finalDriveOf(spec, 'rear') },
      gearRatios: fitting(DrivelineSchema.shape.gearRatios, spec.gearRatios ?? []) ?? [],
      wheelBearing: fitting(BearingIntakeSchema.nullable(), spec.wheelBearing),
    },
  };
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** Nominal rolling circumference of the driven axle's tyre: the wheel that the driveline turns with. */
function circumferenceOf(tyres: Tyres, layout: Intake['driveline']['layout']): number | null {
  const size = layout === 'rwd' ? (tyres.rearSize ?? tyres.size) : (tyres.size ?? tyres.rearSize);
  return size === null ? null : tyreRolling(size).rollingCircumference_m;
}

/**
 * The vehicle after the intake. What the form has not changed stays exactly as it was, so that a value which the form
 * cannot show, from an imported bundle for instance, is not lost.
 */
export function vehicleAfterIntake(vehicle: VehicleFacts, before: Intake, intake: Intake): VehicleFacts {
  const spec: VehicleSpec = { ...vehicle.spec };
  const [was, is] = [before.driveline, intake.driveline];
  if (intake.label !== before.label) spec.label = intake.label.trim() || UNNAMED_VEHICLE;
  if (intake.odometer_km !== null) spec.odometer_km = intake.odometer_km;
  if (is.layout !== was.layout) {
    // The bundle format has no unknown layout: one stands in, and says that it does.
    spec.layoutAssumed = is.layout === null;
    spec.layout = is.layout ?? spec.layout;
  }
  if (is.electricDrive !== was.electricDrive) spec.electricDrive = is.electricDrive;
  if (is.cylinders !== was.cylinders) spec.engine = { ...spec.engine, cylinders: is.cylinders };
  if (!same(is.wheelBearing, was.wheelBearing)) spec.wheelBearing = is.wheelBearing;
  if (!same(is.gearRatios, was.gearRatios)) spec.gearRatios = is.gearRatios;
  for (const axle of AXLES) {
    const { ringTeeth, pinionTeeth, ratio } = is.finalDrive[axle];
    if (same(is.finalDrive[axle], was.finalDrive[axle])) continue;
    const teeth: GearPair | null =
      ringTeeth !== null && pinionTeeth !== null
        ? { ...spec.finalDrive?.[axle], ringTeeth, pinionTeeth }
        : null;
    spec.finalDrive = { ...spec.finalDrive, [axle]: teeth };
    spec.finalDriveRatio = { ...record(spec.finalDriveRatio), [axle]: ratio };
  }
  const sizes = { front: intake.tyres.size, rear: intake.tyres.rearSize };
  if (!same(sizes, { front: before.tyres.size, rear: before.tyres.rearSize })) {
    spec.tyreSize = sizes;
    spec.rollingCircumference_m = circumferenceOf(intake.tyres, is.layout);
  }
  return {
    plate: intake.plate,
    vin: intake.vin === before.vin ? vehicle.vin : intake.vin,
    spec,
  };
}
