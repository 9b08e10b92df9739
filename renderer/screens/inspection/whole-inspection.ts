import { FLUID_UNITS, type FluidUnit } from '../../../shared/diagnosis/inspection.ts';
import { type DriveLayout, WHEELS, type Wheel } from '../../../shared/driveline/words.ts';
import type { Inspection } from '../../../shared/visit-work/inspection.ts';

const UNITS: Record<DriveLayout, readonly FluidUnit[]> = {
  fwd: ['differential-front', 'transmission'],
  rwd: ['differential-rear', 'transmission'],
  awd: FLUID_UNITS,
};

const noWheel = (wheel: Wheel): Inspection['wheels'][number] => ({
  wheel,
  play: null,
  drag: null,
  tyreWear: null,
  note: '',
});

const noUnit = (unit: FluidUnit): Inspection['units'][number] => ({
  unit,
  debris: null,
  photoId: null,
  drained_l: null,
  refilled_l: null,
  fillPlugOpenedFirst: null,
  fluid: '',
  fillPlug: { wanted_Nm: null, done_Nm: null },
  drainPlug: { wanted_Nm: null, done_Nm: null },
  note: '',
});

/** With a row for every wheel and for every unit that the layout has, looked at or not. */
export function wholeInspection(saved: Inspection, layout: DriveLayout | null): Inspection {
  const has = layout === null ? FLUID_UNITS : UNITS[layout];
  const units = FLUID_UNITS.filter((u) => has.includes(u) || saved.units.some((s) => s.unit === u));
  return {
    ...saved,
    wheels: WHEELS.map((wheel) => saved.wheels.find((w) => w.wheel === wheel) ?? noWheel(wheel)),
    units: units.map((unit) => saved.units.find((u) => u.unit === unit) ?? noUnit(unit)),
  };
}
