import type { PriorKnowledge } from '../../shared/diagnosis/posterior.ts';

/** A rear-wheel drive of which only the teeth are known. */
export const REAR_WHEEL_DRIVE: PriorKnowledge = {
  layout: 'rwd',
  electricDrive: false,
  odometer_km: null,
  complaint: null,
  unknown: { bearingGeometry: true, teeth: false, oneMesh: false, engineSpeed: true },
};
