/** Refuses a value that is not a finite number above zero. @throws {RangeError} that names the quantity */
export function requirePositive(name: string, value: number): number {
  if (!(value > 0 && Number.isFinite(value))) {
    throw new RangeError(`${name} must be a finite number above 0, got ${value}`);
  }
  return value;
}

/** Refuses a value that is not a whole number of at least `least`. @throws {RangeError} that names the quantity */
export function requireCount(name: string, value: number, least = 1): number {
  if (!(Number.isInteger(value) && value >= least)) {
    throw new RangeError(`${name} must be a whole number of at least ${least}, got ${value}`);
  }
  return value;
}
