/** The text is not a tyre size that this library can read. */
export class TyreSizeError extends Error {
  override readonly name = 'TyreSizeError';
  /** Where it could be read: the outer diameter that no tyre has. */
  readonly outerDiameter_mm: number | null;

  constructor(message: string, outerDiameter_mm: number | null = null) {
    super(message);
    this.outerDiameter_mm = outerDiameter_mm;
  }
}

const MM_PER_INCH = 25.4;

/** Rolling circumference over outer diameter at moderate load and 60 km/h (ETRTO practice; from memory). */
const ROLLING_FACTOR = 3.05;

/**
 * Wear (8 mm of tread are 2.5 % of the diameter of a car tyre), pressure, load and speed move the rolling
 * circumference by about this much either way (common practice).
 */
const RELATIVE_UNCERTAINTY = 0.02;

export type TyreRolling = {
  readonly sectionWidth_mm: number;
  readonly sectionHeight_mm: number;
  readonly rimDiameter_mm: number;
  readonly outerDiameter_m: number;
  /** 3.05 × outer diameter: the loaded tyre on the road. The nominal value to compute with. */
  readonly rollingCircumference_m: number;
  /** π × outer diameter: the unloaded tyre on a stand; an upper bound on the road. */
  readonly freeCircumference_m: number;
  /** Half width of the range in which the true rolling circumference is expected, relative to the nominal. */
  readonly relativeUncertainty: number;
};

const METRIC =
  /^(?:P|LT)?\s*(\d{3})\s*\/\s*(\d{2,3})\s*(?:Z?R|-|D|B)\s*F?\s*(\d{2}(?:\.5)?)(?:\s*C)?(?:\s|$)/i;
const INCHES =
  /^(\d{2}(?:\.\d+)?)\s*[x×]\s*(\d{1,2}(?:\.\d+)?)\s*(?:R|-)\s*(\d{2}(?:\.5)?)(?:\s*LT|\s*C)?(?:\s|$)/i;

/**
 * Reads a tyre size and gives its rolling circumference.
 *
 * Two conventions are in use and lie 2.9 % apart: π × outer diameter (a free tyre) and 3.05 × outer diameter (a
 * loaded one). Neither is good enough for orders above ten or so: calibrate against a satellite speed or the
 * vibration itself.
 * @param size sidewall text: metric (`205/55R16`, `P215/65R15 95H`, `255/35 ZR 19`) or in inches (`31x10.50R15`)
 * @throws {TyreSizeError} when the text is not such a size or its numbers cannot be a road vehicle's
 * @see ISO 4000-1 for the size designation (from memory)
 */
export function tyreRolling(size: string): TyreRolling {
  const text = size.trim();
  let width: number;
  let height: number;
  let rim: number;
  const metric = METRIC.exec(text);
  const inches = metric ? null : INCHES.exec(text);
  if (metric) {
    width = Number(metric[1]);
    height = (width * Number(metric[2])) / 100;
    rim = Number(metric[3]) * MM_PER_INCH;
  } else if (inches) {
    width = Number(inches[2]) * MM_PER_INCH;
    rim = Number(inches[3]) * MM_PER_INCH;
    height = (Number(inches[1]) * MM_PER_INCH - rim) / 2;
  } else {
    throw new TyreSizeError(`"${size}" is not a tyre size; write it as on the sidewall, such as 205/55R16`);
  }
  const outer = rim + 2 * height;
  if (!(height > 20 && rim >= 10 * MM_PER_INCH && outer > 400 && outer < 1600)) {
    throw new TyreSizeError(`"${size}" would be a tyre of ${outer.toFixed(0)} mm: check the size`, outer);
  }
  const outerDiameter_m = outer / 1000;
  return {
    sectionWidth_mm: width,
    sectionHeight_mm: height,
    rimDiameter_mm: rim,
    outerDiameter_m,
    rollingCircumference_m: ROLLING_FACTOR * outerDiameter_m,
    freeCircumference_m: Math.PI * outerDiameter_m,
    relativeUncertainty: RELATIVE_UNCERTAINTY,
  };
}
