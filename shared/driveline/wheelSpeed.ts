import { requirePositive } from './require.ts';

/** Turning rate of a wheel in Hz at `speed_km_h` with the given rolling circumference in m. */
export function wheelHz(speed_km_h: number, rollingCircumference_m: number): number {
  requirePositive('rolling circumference', rollingCircumference_m);
  if (!(speed_km_h >= 0 && Number.isFinite(speed_km_h))) {
    throw new RangeError(`speed must be a finite number of at least 0 km/h, got ${speed_km_h}`);
  }
  return speed_km_h / 3.6 / rollingCircumference_m;
}

/** Road speed in km/h of a wheel that turns at `hz` with the given rolling circumference in m. */
export function roadSpeed_km_h(hz: number, rollingCircumference_m: number): number {
  requirePositive('rolling circumference', rollingCircumference_m);
  if (!(hz >= 0 && Number.isFinite(hz))) {
    throw new RangeError(`turning rate must be a finite number of at least 0 Hz, got ${hz}`);
  }
  return hz * rollingCircumference_m * 3.6;
}
