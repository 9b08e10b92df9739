import type { Band, EnvelopeSpectrum } from './envelope.ts';
import { EnvelopeOverFloor } from './envelope-floor.ts';
import { assertPositive } from './validation.ts';

export const DEFECTS = ['outer', 'inner', 'element', 'cage'] as const;
/** Where the defect of a rolling bearing sits. */
export type Defect = (typeof DEFECTS)[number];

/** What to look for, in the unit of the spectra (Hz, or orders of the shaft). */
export type DefectSearch = {
  /** Rates without slip; `element` is the strike rate (twice the spin). */
  readonly rates: Readonly<Record<Defect, number>>;
  /** Turning rate of the bearing's shaft. */
  readonly shaft: number;
  /** Rates of other shafts whose harmonics are no evidence either. */
  readonly otherShafts?: readonly number[];
};

/** What was found at one rate. */
export type DefectFinding = {
  /** The rate without slip at the shaft rate found, and where its lines really lie. */
  readonly rate: number;
  readonly measured: number;
  /** Power of the line at `measured` over the local median of the envelope spectrum, dB re the median. */
  readonly prominence_dB: number;
  /** Harmonics that stand out, the first included. */
  readonly harmonics: number;
  /** Lines that stand out a turn of the modulating shaft (inner: the shaft, element: the cage) beside a harmonic. */
  readonly sidebands: number;
  /** The band with the strongest evidence for this rate. */
  readonly band_Hz: Band;
  /** Probability that steady noise alone gives evidence this strong anywhere in this search. */
  readonly falseAlarm: number;
  readonly detected: boolean;
};

/** Envelope spectra of a recording in several bands, of the pre-whitened signal and of the signal as it is. */
export type KnockSpectra = {
  readonly whitened: readonly EnvelopeSpectrum[];
  readonly plain: readonly EnvelopeSpectrum[];
};

export type DefectEvidence = {
  /** The band of the strongest evidence. */
  readonly band_Hz: Band;
  /** The shaft rate, refined from its own harmonics in the envelope where they stand out. */
  readonly shaft: number;
  readonly defects: Readonly<Record<Defect, DefectFinding>>;
};

/** Rate at which steady noise leads to any detection in one search, over all rates, bands and places. */
export const FALSE_ALARM_RATE = 1e-3;

/** Elements slide and contact angles move: real rates lie within this share of the computed ones. */
const SLIP = 0.02;
/** The shaft rate given may be off by this share (nominal motor speed, speed readings). */
const SHAFT_ERROR = 0.012;
/** Knocks make a series of lines: this many are weighed together. */
const HARMONICS = 3;
/** Harmonics counted for the report. */
const COUNTED_HARMONICS = 8;
/**
 * A line never counts for more than this (nepers of probability, 12 dB or so over the median): a single strong line,
 * such as the beat of two tones, must not pass for a series.
 */
const LARGEST_SCORE = 12;
/** At least this many of the weighed harmonics stand out by themselves. */
const LEAST_LINES = 2;
/** A line stands out when noise would reach it with this probability. */
const LINE_CHANCE = 1e-3;
/** Distance from a shaft harmonic, in resolutions, within which a line belongs to it: main lobe and first side lobe. */
const SHAFT_GUARD = 3;
/**
 * A defect modulates the noise at every other rate of its bearing a little. Another rate counts as a defect of its
 * own only when it comes within this many dB of the strongest (common practice).
 */
const LEAD_DB = 10;

/**
 * Looks for the rates of a bearing's defects in envelope spectra.
 *
 * In each band and at each place within the slip tolerance, the power of the first three harmonics over the local
 * median is turned into the probability that noise reaches it (bins of steady noise are exponentially distributed,
 * the sum of three is a Gamma variable). A place is evidence when that probability, times the number of places,
 * rates and bands looked at (Bonferroni), is below FALSE_ALARM_RATE and at least two of the lines stand out alone.
 * Lines on shaft harmonics do not count. Rates are accepted from the strongest down; lines that the defects accepted
 * before would make as sidebands do not count for the next, nor does a rate far weaker than the strongest.
 *
 * The pre-whitened signal is judged first: in it neither tones nor their beats make lines. Where it shows nothing,
 * the plain signal is judged in the same way, since whitening costs weak knocks some 10 dB; but what it shows must
 * then be confirmed by the whitened one at the same place.
 * @param spectra one per band of each signal, all in the unit of `search`
 * @throws RangeError without spectra, or for rates that are not above zero
 * @see Randall & Antoni, Rolling element bearing diagnostics, Mech. Syst. Signal Process. 25 (2011); Borghesani et al.,
 * Mech. Syst. Signal Process. 36 (2013) on pre-whitening (both from memory)
 */
export function defectEvidence(spectra: KnockSpectra, search: DefectSearch): DefectEvidence {
  if (spectra.whitened.length === 0 || spectra.plain.length === 0) {
    throw new RangeError(
      'spectra is empty; at least one band of the whitened and the plain signal is needed',
    );
  }
  assertPositive(search.shaft, 'shaft');
  for (const defect of DEFECTS) assertPositive(search.rates[defect], `rate of ${defect}`);

  const whitened = spectra.whitened.map((spectrum) => new EnvelopeOverFloor(spectrum));
  const plain = spectra.plain.map((spectrum) => new EnvelopeOverFloor(spectrum));
  const shaft = refineShaft([...whitened, ...plain], search.shaft);
  const cage = (search.rates.cage * shaft) / search.shaft;
  const context = { shaft, cage, others: search.otherShafts ?? [] };
  const rates = DEFECTS.map((defect) => ({ defect, rate: (search.rates[defect] * shaft) / search.shaft }));

  const sharp: Context = { ...context, bands: whitened };
  const first = judge(sharp, rates, () => true);
  if (first.accepted.length > 0) return evidence(sharp, first);
  const sensitive: Context = { ...context, bands: plain };
  const second = judge(sensitive, rates, (candidate) => isConfirmed(sharp, candidate));
  return second.accepted.length > 0 ? evidence(sensitive, second) : evidence(sharp, first);
}

type Judgement = { readonly candidates: readonly Candidate[]; readonly accepted: readonly Candidate[] };

/** Two judgements at most are passed in a search. */
const JUDGEMENTS = 2;

function judge(
  context: Context,
  rates: readonly { defect: Defect; rate: number }[],
  isAdmissible: (candidate: Candidate) => boolean,
): Judgement {
  const trials =
    JUDGEMENTS *
    rates.reduce(
      (sum, { rate }) => sum + context.bands.reduce((s, band) => s + places(band, rate).count, 0),
      0,
    );
  const candidates = rates.map(({ defect, rate }) => strongest(context, defect, rate, trials));
  const accepted: Candidate[] = [];
  for (const candidate of [...candidates].sort(beforeCage)) {
    if (candidates.some((other) => hasBetterClaim(context, other, candidate))) continue;
    if (standsAlone(context, candidate, accepted, trials) && isAdmissible(candidate))
      accepted.push(candidate);
  }
  return { candidates, accepted };
}

function evidence(context: Context, { candidates, accepted }: Judgement): DefectEvidence {
  const best = accepted[0] ?? [...candidates].sort((a, b) => a.falseAlarm - b.falseAlarm)[0]!;
  const finding = (c: Candidate): DefectFinding => ({
    rate: c.rate,
    measured: c.measured,
    prominence_dB: decibels(c.band.ratio(c.measured)),
    harmonics: countHarmonics(context, c),
    sidebands: countSidebands(context, c, candidates),
    band_Hz: c.band.spectrum.band_Hz,
    falseAlarm: c.falseAlarm,
    detected: accepted.includes(c),
  });
  const [outer, inner, element, cage] = candidates.map(finding);
  return {
    band_Hz: best.band.spectrum.band_Hz,
    shaft: context.shaft,
    defects: { outer: outer!, inner: inner!, element: element!, cage: cage! },
  };
}

/** Chance at which noise in the whitened signal confirms a line of the plain one. */
const CONFIRMATION_CHANCE = 0.02;
/** The first line must be there too: noise reaches this once in twenty. */
const CONFIRMING_LINE_SCORE = -Math.log(0.05);

/** Whether any band shows the candidate's series at its very place. */
function isConfirmed(context: Context, { measured }: Candidate): boolean {
  let best = { total: 0, fundamental: 0 };
  let looks = 0;
  for (const band of context.bands) {
    const { step } = places(band, measured);
    for (let i = -2; i <= 2; i++) {
      looks++;
      const found = lines(context, band, measured + i * step);
      const total = found.reduce((sum, line) => sum + capped(line), 0);
      if (total > best.total) best = { total, fundamental: found[0]!.score };
    }
  }
  return looks * tail(best.total) < CONFIRMATION_CHANCE && best.fundamental > CONFIRMING_LINE_SCORE;
}

type Context = {
  readonly bands: readonly EnvelopeOverFloor[];
  readonly shaft: number;
  readonly cage: number;
  readonly others: readonly number[];
};

type Candidate = {
  readonly defect: Defect;
  readonly rate: number;
  readonly measured: number;
  readonly band: EnvelopeOverFloor;
  readonly falseAlarm: number;
  /** Mean prominence of the weighed harmonics. */
  readonly strength_dB: number;
};

function decibels(powerRatio: number): number {
  // Silence has no lines: -40 dB stands for none.
  return 10 * Math.log10(Math.max(powerRatio, 1e-4));
}

/** Probability that the sum of `HARMONICS` unit exponential variables reaches `s`. */
function tail(s: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k < HARMONICS; k++) sum += term *= s / k;
  return Math.exp(-s) * sum;
}

/** The places of a fundamental to look at in a band: half a resolution apart at the highest harmonic. */
function places(band: EnvelopeOverFloor, rate: number): { first: number; step: number; count: number } {
  const step = band.spectrum.resolution / (2 * HARMONICS);
  const half = Math.max(1, Math.ceil((SLIP * rate) / step));
  return { first: rate - half * step, step, count: 2 * half + 1 };
}

/** Whether a line belongs to a harmonic of the shaft or of another one. */
function onShaft({ shaft, others }: Context, band: EnvelopeOverFloor, frequency: number): boolean {
  const guard = SHAFT_GUARD * band.spectrum.resolution;
  return [shaft, ...others].some((rate) => {
    const k = Math.round(frequency / rate);
    return k > 0 && Math.abs(frequency - k * rate) < guard;
  });
}

type Line = { readonly harmonic: number; readonly frequency: number; readonly score: number };

function lines(context: Context, band: EnvelopeOverFloor, fundamental: number): Line[] {
  return Array.from({ length: HARMONICS }, (_, i) => {
    const frequency = (i + 1) * fundamental;
    return {
      harmonic: i + 1,
      frequency,
      score: onShaft(context, band, frequency) ? 0 : band.score(frequency),
    };
  });
}

function capped(line: Line): number {
  return Math.min(LARGEST_SCORE, line.score);
}

function strongest(context: Context, defect: Defect, rate: number, trials: number): Candidate {
  let best: { band: EnvelopeOverFloor; measured: number; total: number; plain: number } | null = null;
  for (const band of context.bands) {
    const { first, step, count } = places(band, rate);
    for (let i = 0; i < count; i++) {
      const measured = first + i * step;
      const found = lines(context, band, measured);
      const total = found.reduce((sum, line) => sum + capped(line), 0);
      // Among places whose scores are all at their cap the strongest lines decide.
      const plain = found.reduce((sum, line) => sum + Math.log1p(line.score), 0);
      if (!best || total > best.total + 1e-9 || (total > best.total - 1e-9 && plain > best.plain)) {
        best = { band, measured, total, plain };
      }
    }
  }
  const { band, measured, total } = best!;
  const found = lines(context, band, measured);
  return {
    defect,
    rate,
    measured,
    band,
    falseAlarm: Math.min(1, trials * tail(total)),
    strength_dB: found.reduce((sum, line) => sum + decibels(line.score / Math.LN2 + 1), 0) / HARMONICS,
  };
}

/** Strongest first, but the cage last: whatever is wrong with a bearing is modulated at the rate of its cage. */
function beforeCage(a: Candidate, b: Candidate): number {
  return Number(a.defect === 'cage') - Number(b.defect === 'cage') || b.strength_dB - a.strength_dB;
}

/** A fundamental may be this many times another's by chance of the bearing's dimensions. */
const LARGEST_MULTIPLE = 5;

/**
 * Whether the lines of a candidate rather belong to another: the other found the same line nearer to its rate (rates
 * closer than the slip share lines), or it found a series that has the candidate's first line among its harmonics.
 */
function hasBetterClaim(context: Context, other: Candidate, candidate: Candidate): boolean {
  if (other === candidate) return false;
  const guard = 2 * candidate.band.spectrum.resolution;
  const off = (c: Candidate): number => Math.abs(c.measured / c.rate - 1);
  if (Math.abs(other.measured - candidate.measured) < guard) return off(other) < off(candidate);
  const multiple = Math.round(candidate.measured / other.measured);
  return (
    multiple >= 2 &&
    multiple <= LARGEST_MULTIPLE &&
    Math.abs(candidate.measured - multiple * other.measured) < multiple * guard &&
    other.falseAlarm < FALSE_ALARM_RATE &&
    !onShaft(context, other.band, other.measured) &&
    standsOut(other.band, other.measured)
  );
}

/** Lines this many shaft or cage turns beside a harmonic of an accepted defect are its sidebands. */
const SIDEBAND_SHAFTS = 4;
const SIDEBAND_CAGES = 2;
const SIDEBAND_HARMONICS = 4;

function standsAlone(
  context: Context,
  candidate: Candidate,
  accepted: readonly Candidate[],
  trials: number,
): boolean {
  const { band, measured } = candidate;
  const guard = 2 * band.spectrum.resolution;
  const own = lines(context, band, measured).filter(
    (line) => !accepted.some((other) => isSideband(context, other, line.frequency, guard)),
  );
  const total = own.reduce((sum, line) => sum + capped(line), 0);
  if (trials * tail(total) > FALSE_ALARM_RATE) return false;
  const standing = own.filter((line) => line.score > -Math.log(LINE_CHANCE));
  // A series whose first line is missing belongs to a lower rate, unless a shaft harmonic lies on that line.
  if (standing[0]?.harmonic !== 1 && !onShaft(context, band, measured)) return false;
  if (standing.length < LEAST_LINES) return false;
  return accepted.every((other) => candidate.strength_dB > other.strength_dB - LEAD_DB);
}

/** Whether a line is where a defect, modulated by shaft and cage, makes one. */
function isSideband(context: Context, defect: Candidate, frequency: number, guard: number): boolean {
  for (let m = 0; m <= SIDEBAND_HARMONICS; m++) {
    for (let c = -SIDEBAND_CAGES; c <= SIDEBAND_CAGES; c++) {
      for (let s = -SIDEBAND_SHAFTS; s <= SIDEBAND_SHAFTS; s++) {
        const line = Math.abs(m * defect.measured + s * context.shaft + c * context.cage);
        if (Math.abs(line - frequency) < guard + SLIP * Math.abs(c) * context.cage) return true;
      }
    }
  }
  return false;
}

/** Shaft harmonics that are weighed together to find its rate. */
const SHAFT_HARMONICS = 6;

/**
 * The shaft rate within `SHAFT_ERROR` of the given one whose harmonics stand out most, or the given one when none
 * do. Only to know which lines are the shaft's and where to centre the search.
 */
function refineShaft(bands: readonly EnvelopeOverFloor[], nominal: number): number {
  const step = Math.min(...bands.map((band) => band.spectrum.resolution)) / (2 * SHAFT_HARMONICS);
  const half = Math.ceil((SHAFT_ERROR * nominal) / step);
  let best = { rate: nominal, total: 0, lines: 0 };
  for (let i = -half; i <= half; i++) {
    const rate = nominal + i * step;
    let total = 0;
    let standing = 0;
    for (let k = 1; k <= SHAFT_HARMONICS; k++) {
      const score = Math.max(...bands.map((band) => band.score(k * rate)));
      total += Math.min(LARGEST_SCORE, score);
      if (score > SHAFT_LINE_SCORE) standing++;
    }
    // Between places that explain the lines alike, the given rate is the likelier one.
    total -= (i / half) ** 2;
    if (total > best.total) best = { rate, total, lines: standing };
  }
  return best.lines >= LEAST_SHAFT_LINES ? best.rate : nominal;
}

/** Fewer lines may belong to anything. */
const LEAST_SHAFT_LINES = 3;
/** A shaft line stands out in one of about ten bands at one of some hundred places by chance once in a hundred. */
const SHAFT_LINE_SCORE = -Math.log(1e-5);

function standsOut(band: EnvelopeOverFloor, frequency: number): boolean {
  return band.score(frequency) > -Math.log(LINE_CHANCE);
}

function countHarmonics(context: Context, { band, measured }: Candidate): number {
  let count = 0;
  for (let h = 1; h <= COUNTED_HARMONICS; h++) {
    if (!onShaft(context, band, h * measured) && standsOut(band, h * measured)) count++;
  }
  return count;
}

function countSidebands(context: Context, candidate: Candidate, candidates: readonly Candidate[]): number {
  const { band, measured, defect } = candidate;
  if (defect === 'outer' || defect === 'cage') return 0;
  const cage = candidates.find((c) => c.defect === 'cage')!;
  const spacing = defect === 'inner' ? context.shaft : cage.rate;
  let count = 0;
  for (let h = 1; h <= HARMONICS; h++) {
    for (const side of [-2, -1, 1, 2]) {
      const line = h * measured + side * spacing;
      if (!onShaft(context, band, line) && standsOut(band, line)) count++;
    }
  }
  return count;
}
