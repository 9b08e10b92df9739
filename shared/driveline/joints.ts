/**
 * Orders of a shaft that its joints make: a universal (cross) joint at an angle turns its far side unevenly twice a
 * turn; a tripod joint pushes three times a turn. A constant-velocity ball joint makes none of its own.
 */
export const JOINT_ORDERS = { universal: 2, tripod: 3 } as const;

/**
 * How unevenly the far side of one universal joint turns: (fastest - slowest) over the driving rate.
 * From ω₂/ω₁ = cos β / (1 - sin²β cos²θ), which runs from cos β to 1 / cos β in half a turn.
 * @param angle_rad joint angle β, at least 0 and below a quarter turn
 */
export function universalJointUnevenness(angle_rad: number): number {
  if (!(angle_rad >= 0 && angle_rad < Math.PI / 2)) {
    throw new RangeError(`joint angle must be from 0 to below π/2 rad, got ${angle_rad}`);
  }
  return 1 / Math.cos(angle_rad) - Math.cos(angle_rad);
}
