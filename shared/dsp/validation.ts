/**
 * Refusal of bad input, in one place: every message begins with the name of the argument, so that whoever
 * reads it knows which one to mend. All throw `RangeError`.
 */

/**
 * Refuses NaN and infinity.
 *
 * @param values samples of any unit; may be empty
 * @param name the argument's name, for the message
 * @param count how many of them to look at, when the array is longer than what it holds
 * @throws RangeError that names the argument and the first bad index
 */
export function assertFinite(values: ArrayLike<number>, name: string, count: number = values.length): void {
  const witness = values instanceof Float32Array ? singleWitness(values, count) : anyWitness(values, count);
  if (witness === 0) return;
  for (let i = 0; i < count; i++) {
    if (!Number.isFinite(values[i])) {
      throw new RangeError(`${name}: value ${i} is ${values[i]}; every value must be a finite number`);
    }
  }
}

/** x · 0 is NaN exactly for NaN and ±infinity: one sum tells, without a branch per sample. */
function anyWitness(values: ArrayLike<number>, count: number): number {
  let witness = 0;
  for (let i = 0; i < count; i++) witness += values[i]! * 0;
  return witness;
}

/** The same again: code that sees one kind of array only is compiled to run several times as fast. */
function singleWitness(values: Float32Array, count: number): number {
  let witness = 0;
  for (let i = 0; i < count; i++) witness += values[i]! * 0;
  return witness;
}

/** Refuses a single number that is NaN or infinite. */
export function assertFiniteNumber(value: number, name: string): void {
  if (!Number.isFinite(value)) throw new RangeError(`${name} is ${value}; it must be a finite number`);
}

/** Refuses everything but a finite number above zero. */
export function assertPositive(value: number, name: string): void {
  if (!(value > 0 && Number.isFinite(value))) {
    throw new RangeError(`${name} is ${value}; it must be a finite number above 0`);
  }
}

/** Refuses everything but a whole number of at least `minimum`. */
export function assertWholeNumber(value: number, name: string, minimum: number): void {
  if (!(Number.isSafeInteger(value) && value >= minimum)) {
    throw new RangeError(`${name} is ${value}; it must be a whole number of at least ${minimum}`);
  }
}

/** Refuses an empty array. */
export function assertNotEmpty(values: ArrayLike<number>, name: string): void {
  if (values.length === 0) throw new RangeError(`${name} is empty; it must hold at least one value`);
}

/** Refuses two arrays of different lengths. */
export function assertSameLength(
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  nameA: string,
  nameB: string,
): void {
  if (a.length !== b.length) {
    throw new RangeError(
      `${nameA} has ${a.length} values and ${nameB} ${b.length}; they must be equally long`,
    );
  }
}
