/**
 * Speed over ground out of the sentences of a satellite receiver, after NMEA 0183 (IEC 61162-1): `$`, address, fields
 * parted by commas, `*`, checksum in two hexadecimal digits, CR LF; at most 82 characters.
 */

/** International nautical mile of 1852 m, exact. */
export const KM_H_PER_KNOT = 1.852;
/** From `$` to LF. */
const LONGEST_SENTENCE = 82;
const LONGEST_WITHOUT_LINE_END = LONGEST_SENTENCE - 2;

export type SatelliteSentence =
  | { readonly kind: 'speed'; readonly type: SpeedSentence; readonly km_h: number }
  /** The receiver says itself that its data are not to be used, or leaves the speed out. */
  | { readonly kind: 'noFix'; readonly type: SpeedSentence }
  /** Sound, and not about speed. */
  | { readonly kind: 'other' }
  | { readonly kind: 'damaged'; readonly reason: 'form' | 'length' | 'checksum' | 'field' };
export type SpeedSentence = 'RMC' | 'VTG';

/** XOR of the characters between `$` and `*`, both left out. */
export function nmeaChecksum(between: string): number {
  let sum = 0;
  for (let i = 0; i < between.length; i++) sum ^= between.charCodeAt(i);
  return sum;
}

/**
 * Reads one sentence, of whatever talker (`GP`, `GN`, `GL`, ...). A sentence without a checksum is taken as damaged:
 * the standard demands one of RMC, and a receiver that sends it there sends it everywhere.
 * @param sentence from `$` on, without the line end
 */
export function parseSentence(sentence: string): SatelliteSentence {
  if (!sentence.startsWith('$')) return { kind: 'damaged', reason: 'form' };
  if (sentence.length > LONGEST_WITHOUT_LINE_END) return { kind: 'damaged', reason: 'length' };
  const parts = /^\$([^$*]*)\*([0-9A-Fa-f]{2})$/.exec(sentence);
  if (!parts) return { kind: 'damaged', reason: 'checksum' };
  const [, between, checksum] = parts as unknown as [string, string, string];
  if (nmeaChecksum(between) !== Number.parseInt(checksum, 16)) return { kind: 'damaged', reason: 'checksum' };
  const [address, ...fields] = between.split(',') as [string, ...string[]];
  if (/^[A-Z0-9]{2}RMC$/.test(address)) return recommendedMinimum(fields);
  if (/^[A-Z0-9]{2}VTG$/.test(address)) return trackAndSpeed(fields);
  return { kind: 'other' };
}

/**
 * Mode indicators (version 2.3 and later) under which a speed has been measured: autonomous, differential, float and
 * fixed real-time kinematic, precise. Dead reckoning (E), set by hand (M) and simulator (S) are no measurement; N is none.
 */
const MEASURED_MODES = 'ADFRP';
const measured = (mode: string | undefined): boolean =>
  mode === undefined || (mode.length === 1 && MEASURED_MODES.includes(mode));

/** RMC: time, status, latitude, N/S, longitude, E/W, speed in knots, course, date, variation, E/W, mode indicator. */
function recommendedMinimum(fields: readonly string[]): SatelliteSentence {
  const type = 'RMC';
  const [, status, , , , , knots] = fields;
  if (status !== 'A' || !measured(fields[11]) || !knots) return { kind: 'noFix', type };
  const value = decimal(knots);
  return value === null
    ? { kind: 'damaged', reason: 'field' }
    : { kind: 'speed', type, km_h: value * KM_H_PER_KNOT };
}

/** Both speeds of a VTG are rounded; more than this apart they are not the same speed. */
const ROUNDING_KM_H = 1;

/** VTG: course, `T`, course, `M`, speed in knots, `N`, speed in km/h, `K`, mode indicator. */
function trackAndSpeed(fields: readonly string[]): SatelliteSentence {
  const type = 'VTG';
  const [, , , , knots, knotsUnit, km_h, km_hUnit, mode] = fields;
  if (!measured(mode) || (!knots && !km_h)) return { kind: 'noFix', type };
  if ((knots && knotsUnit !== 'N') || (km_h && km_hUnit !== 'K')) return { kind: 'damaged', reason: 'field' };
  const fromKnots = knots ? decimal(knots) : undefined;
  const direct = km_h ? decimal(km_h) : undefined;
  if (fromKnots === null || direct === null) return { kind: 'damaged', reason: 'field' };
  if (fromKnots === undefined) return { kind: 'speed', type, km_h: direct! };
  const converted = fromKnots * KM_H_PER_KNOT;
  if (direct === undefined) return { kind: 'speed', type, km_h: converted };
  return Math.abs(direct - converted) > ROUNDING_KM_H
    ? { kind: 'damaged', reason: 'field' }
    : { kind: 'speed', type, km_h: direct };
}

const decimal = (field: string): number | null => (/^\d+(\.\d*)?$/.test(field) ? Number(field) : null);

const DOLLAR = 0x24;
const CARRIAGE_RETURN = 0x0d;
const LINE_FEED = 0x0a;

/**
 * Finds the sentences in a stream of bytes, however it is cut. A `$` begins one wherever it stands, for it stands
 * nowhere else; so noise or a lost line end costs one sentence. Keeps 81 characters at most.
 */
export class SentenceSplitter {
  /** From `$` on; null while nothing has begun. */
  #begun: string | null = null;

  /** @returns what began with `$`, without line ends; what was cut or too long is there too, cut off after 81 */
  push(bytes: Uint8Array): string[] {
    const sentences: string[] = [];
    for (const byte of bytes) {
      const ends = byte === CARRIAGE_RETURN || byte === LINE_FEED || byte === DOLLAR;
      if (this.#begun !== null && (ends || this.#begun.length > LONGEST_WITHOUT_LINE_END)) {
        sentences.push(this.#begun);
        this.#begun = null;
      }
      if (byte === DOLLAR) this.#begun = '$';
      else if (this.#begun !== null) this.#begun += String.fromCharCode(byte);
    }
    return sentences;
  }

  forget(): void {
    this.#begun = null;
  }
}
