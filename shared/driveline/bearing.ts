import { requireCount, requirePositive } from './require.ts';
import type { BearingDimensions, RunningGear } from './runningGear.ts';

/** Rates of a rolling bearing as multiples of the turning rate between its rings. */
export type BearingRates = {
  /** An element passes a spot on the outer ring's race. */
  readonly outer: number;
  /** An element passes a spot on the inner ring's race. */
  readonly inner: number;
  /** An element spins about its own axis, seen from the cage. */
  readonly elementSpin: number;
  /** A spot on an element strikes either race: twice its spin. */
  readonly elementStrike: number;
  /** The cage turns, seen from the standing ring. */
  readonly cage: number;
};

/** Which ring turns with the shaft; the other stands still. */
export type TurningRing = 'inner' | 'outer';

/**
 * The defect rates of a bearing without slip, as orders of its turning ring.
 *
 * With r = d/D cos α: outer n(1-r)/2, inner n(1+r)/2, spin (D/2d)(1-r²), cage (1-r)/2 when the inner ring turns and
 * (1+r)/2 when the outer one does. The first three depend only on the turning between the rings, so they are the
 * same either way. Real rates lie up to 1-2 % off because elements slide and the contact angle moves with load
 * (Randall & Antoni, Mech. Syst. Signal Process. 25, 2011; from memory).
 * @throws {RangeError} on a count below 3, a size that is not above 0, elements that do not fit on the pitch circle
 */
export function bearingRates(bearing: BearingDimensions, turning: TurningRing = 'inner'): BearingRates {
  const n = requireCount('rolling elements', bearing.rollingElements, 3);
  const d = requirePositive('element diameter', bearing.elementDiameter_mm);
  const D = requirePositive('pitch diameter', bearing.pitchDiameter_mm);
  const angle = bearing.contactAngle_deg;
  if (!(angle >= 0 && angle < 90))
    throw new RangeError(`contact angle must be from 0 to below 90°, got ${angle}`);
  if (!findRoom(bearing)) {
    throw new RangeError(`${n} elements of ${d} mm do not fit on a pitch circle of ${D} mm`);
  }
  const r = (d / D) * Math.cos((angle * Math.PI) / 180);
  const spin = (D / (2 * d)) * (1 - r * r);
  return {
    outer: (n * (1 - r)) / 2,
    inner: (n * (1 + r)) / 2,
    elementSpin: spin,
    elementStrike: 2 * spin,
    cage: turning === 'inner' ? (1 - r) / 2 : (1 + r) / 2,
  };
}

/** Whether the elements find room side by side on the pitch circle. */
export function findRoom(bearing: Omit<BearingDimensions, 'contactAngle_deg'>): boolean {
  const { rollingElements, elementDiameter_mm, pitchDiameter_mm } = bearing;
  return elementDiameter_mm <= pitchDiameter_mm * Math.sin(Math.PI / rollingElements);
}

/** The vehicle's wheel bearing; null when its dimensions are not known, or are those of no bearing. */
export function usableWheelBearing({ wheelBearing }: RunningGear): BearingDimensions | null {
  return wheelBearing && findRoom(wheelBearing) && wheelBearing.contactAngle_deg < 90 ? wheelBearing : null;
}

/** A closed interval of orders. */
export type OrderRange = readonly [lo: number, hi: number];

/** The rates that a bearing with a given number of elements can have. */
export type PlausibleRates = {
  readonly rollingElements: number;
  readonly outer: OrderRange;
  readonly inner: OrderRange;
  readonly elementStrike: OrderRange;
  readonly cage: OrderRange;
};

/** Element counts per row of car wheel bearings, balls and tapered rollers (common practice). */
const WHEEL_BEARING_ELEMENTS = { least: 9, most: 24 } as const;

/**
 * How much of the room on the pitch circle the elements take: 1 when they touch. Loosely filled ball bearings with
 * a pressed cage reach down to about half, hub units lie above 0.8 (common practice).
 */
const FILL = { least: 0.5, most: 0.98 } as const;

/** Contact angles of wheel bearings in degrees (common practice). */
const CONTACT_ANGLE_DEG = { least: 0, most: 40 } as const;

/**
 * The family of rates that a wheel bearing of unknown geometry can have, one entry for each element count. The
 * bounds follow from what fits on the pitch circle. As a rule of thumb: outer near 0.4 n, inner near 0.6 n, cage
 * near 0.4. For the search only: a match with a member of a family is far weaker evidence than one with known
 * geometry, since the members together cover much of the axis.
 */
export function plausibleWheelBearingRates(turning: TurningRing = 'inner'): PlausibleRates[] {
  const family: PlausibleRates[] = [];
  for (let n = WHEEL_BEARING_ELEMENTS.least; n <= WHEEL_BEARING_ELEMENTS.most; n++) {
    const room = Math.sin(Math.PI / n);
    const ratioLo = FILL.least * room;
    const ratioHi = FILL.most * room;
    const cosLo = Math.cos((CONTACT_ANGLE_DEG.most * Math.PI) / 180);
    const cosHi = Math.cos((CONTACT_ANGLE_DEG.least * Math.PI) / 180);
    const rLo = ratioLo * cosLo;
    const rHi = ratioHi * cosHi;
    family.push({
      rollingElements: n,
      outer: [(n * (1 - rHi)) / 2, (n * (1 - rLo)) / 2],
      inner: [(n * (1 + rLo)) / 2, (n * (1 + rHi)) / 2],
      // 1/ratio - ratio cos²: falls as the ratio grows.
      elementStrike: [1 / ratioHi - ratioHi * cosHi ** 2, 1 / ratioLo - ratioLo * cosLo ** 2],
      cage: turning === 'inner' ? [(1 - rHi) / 2, (1 - rLo) / 2] : [(1 + rLo) / 2, (1 + rHi) / 2],
    });
  }
  return family;
}
