import { z } from 'zod';
import type { VehicleInput } from '../../../shared/contract/garage.ts';
import { LAYOUTS } from '../../../shared/driveline/words.ts';
import type { UnitSystem } from '../../../shared/units/units.ts';
import type { FormError } from '../../i18n/form-errors.ts';
import { allOrNone, asTyped, distanceAsTyped, optionalDistance, optionalNumber } from './form-numbers.ts';

const gearPair = allOrNone({
  ringTeeth: optionalNumber(5, 300, { integer: true }),
  pinionTeeth: optionalNumber(3, 100, { integer: true }),
});

/** What the vehicle form holds (text, as typed) and what becomes of it. Names follow the contract's paths. */
export const vehicleFormSchema = (units: UnitSystem, vehicle: VehicleInput | null) =>
  z.object({
    plate: z
      .string()
      .trim()
      .max(20, 'tooLong' satisfies FormError),
    vin: z
      .string()
      .trim()
      .toUpperCase()
      .max(17, 'vin' satisfies FormError)
      .transform((text) => text || null),
    ownerNote: z
      .string()
      .trim()
      .max(2000, 'tooLong' satisfies FormError),
    spec: z.object({
      label: z
        .string()
        .trim()
        .min(1, 'required' satisfies FormError),
      odometer_km: optionalDistance(0, 5_000_000, units, vehicle?.spec.odometer_km),
      layout: z.enum(LAYOUTS),
      rollingCircumference_m: optionalNumber(0.5, 5),
      wheelBearing: allOrNone({
        rollingElements: optionalNumber(3, 200, { integer: true }),
        elementDiameter_mm: optionalNumber(0.1, 500),
        pitchDiameter_mm: optionalNumber(1, 2000),
        contactAngle_deg: optionalNumber(0, 90),
      }),
      finalDrive: z.object({ front: gearPair, rear: gearPair }),
      engine: z.object({ cylinders: optionalNumber(1, 16, { integer: true }) }),
      electricDrive: z.boolean(),
    }),
  });
export type VehicleFormText = z.input<ReturnType<typeof vehicleFormSchema>>;
export type VehicleFormValue = z.output<ReturnType<typeof vehicleFormSchema>>;

/** A stored vehicle as form text; none gives an empty form. */
export function vehicleAsText(vehicle: VehicleInput | null, units: UnitSystem): VehicleFormText {
  const spec = vehicle?.spec;
  const pair = (p: { ringTeeth: number; pinionTeeth: number } | null | undefined) => ({
    ringTeeth: asTyped(p?.ringTeeth),
    pinionTeeth: asTyped(p?.pinionTeeth),
  });
  return {
    plate: vehicle?.plate ?? '',
    vin: vehicle?.vin ?? '',
    ownerNote: vehicle?.ownerNote ?? '',
    spec: {
      label: spec?.label ?? '',
      odometer_km: distanceAsTyped(spec?.odometer_km, units),
      layout: spec?.layout ?? 'fwd',
      rollingCircumference_m: asTyped(spec?.rollingCircumference_m),
      wheelBearing: {
        rollingElements: asTyped(spec?.wheelBearing?.rollingElements),
        elementDiameter_mm: asTyped(spec?.wheelBearing?.elementDiameter_mm),
        pitchDiameter_mm: asTyped(spec?.wheelBearing?.pitchDiameter_mm),
        contactAngle_deg: asTyped(spec?.wheelBearing?.contactAngle_deg),
      },
      finalDrive: { front: pair(spec?.finalDrive?.front), rear: pair(spec?.finalDrive?.rear) },
      engine: { cylinders: asTyped(spec?.engine?.cylinders) },
      electricDrive: spec?.electricDrive ?? false,
    },
  };
}

/** The form's value over what was stored, so that keys the form does not know are kept. */
export function mergeVehicle(stored: VehicleInput | null, value: VehicleFormValue): VehicleInput {
  return {
    ...value,
    spec: {
      ...stored?.spec,
      ...value.spec,
      finalDrive: { ...stored?.spec.finalDrive, ...value.spec.finalDrive },
      engine: { ...stored?.spec.engine, ...value.spec.engine },
    },
  };
}
