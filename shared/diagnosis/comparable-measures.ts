import { type OrderLine, partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrivingState } from '../driveline/words.ts';
import { mean, powerLevelDb } from '../dsp/levels.ts';
import type { ComparableMeasure, SpeedBand } from './comparable.ts';
import { CARRIER_BANDS_HZ, LEVEL_BANDS, levelBandEdge_Hz } from './front-end.ts';
import { linePower, type PowerOverOrder } from './lines.ts';
import { type ChannelMeasure, measureRun, type StretchMeasure } from './measure-run.ts';
import type { RunDigest } from './run-digest.ts';
import { knownTurns } from './shaft-turns.ts';
import { meanRate, type RunSpeed } from './speed.ts';
import type { Stretch } from './stretches.ts';
import type { RunToAnalyse } from './visit-input.ts';

/** A figure of a run; the visit, the placement and the pickup are those of the run's channel. */
export type RunMeasure = Pick<
  ComparableMeasure,
  | 'channel'
  | 'kind'
  | 'part'
  | 'label'
  | 'unit'
  | 'method'
  | 'state'
  | 'speedBand'
  | 'value'
  | 'spread'
  | 'repeats'
>;

/** Spectrum over the turns of a wheel, averaged over all repeats; RMS as a ratio of full scale. */
export type RunSpectrum = {
  readonly channel: number;
  readonly state: DrivingState;
  readonly speedBand: SpeedBand;
  readonly step: number;
  readonly rms: Float32Array;
};

/**
 * Names the computation: figures of two versions are never compared, and a run that an older one has measured is
 * measured again.
 */
export const MEASURES_METHOD = 'comparable measures 2';

/** Length of a repeat, s: some blocks of the order and the envelope spectra. Shorter stretches tell too little. */
const REPEAT_S = 4;
const LEAST_S = 3;
/** Noise grows by a decibel or two within such a band, less than clamping the pickup anew changes. */
const BAND_KM_H = 10;
const SLOWEST_KM_H = 20;
/** A middling car tyre, where the circumference is not known; the bands are then a little off (common practice). */
const MIDDLING_CIRCUMFERENCE_M = 2;
/** Orders above this are smeared when the speed is only as good as its readings. */
const BLUNT_ORDER = 4;
/** How far a line may lie beside its order, as a share: the speed's remaining error. */
const LINE_TOLERANCE = 0.002;
/** Rolling elements slide: real rates lie up to this share beside the computed ones (Randall & Antoni 2011). */
const SLIP = 0.02;
const DRAWN_ORDERS = 100;
/** Quarter-octave bands of the front end in an octave. */
const PER_OCTAVE = 4;

type Repeat = Stretch & { readonly state: DrivingState; readonly speedBand: SpeedBand };

/** Everything in a run that a later visit can be compared with. */
export function comparableMeasures(
  run: RunToAnalyse,
  digest: RunDigest,
  speed: RunSpeed,
  vehicle: RunningGear,
): { measures: RunMeasure[]; spectra: RunSpectrum[] } {
  const repeats = repeatsOf(run, digest.seconds, speed, vehicle);
  const measures: RunMeasure[] = [];
  const spectra: RunSpectrum[] = [];
  for (const channel of measureRun(0, digest, speed, repeats)) {
    const fullScale = digest.channels.find((c) => c.channel === channel.channel)?.fullScale_m_s2 ?? null;
    for (const cell of cellsOf(channel, repeats)) {
      const figures = [
        ...orderLevels(cell, vehicle, speed.grade === 'sharp'),
        ...prominences(cell, vehicle),
        ...bandLevels(cell),
      ];
      for (const { values, ...figure } of figures) {
        if (values.length === 0) continue;
        measures.push({
          ...figure,
          unit: figure.kind === 'envelopeProminence' ? 'dB' : fullScale === null ? 'FS' : 'm/s²',
          method: MEASURES_METHOD,
          channel: channel.channel,
          state: cell.state,
          speedBand: cell.speedBand,
          value: mean(values),
          spread: values.length > 1 ? deviation(values) : null,
          repeats: values.length,
        });
      }
      const spectrum = spectrumOf(cell, fullScale ?? 1);
      if (spectrum)
        spectra.push({ channel: channel.channel, state: cell.state, speedBand: cell.speedBand, ...spectrum });
    }
  }
  return { measures, spectra };
}

/** Pieces of the run's states of equal length whose speed stays near one band's middle. */
function repeatsOf(run: RunToAnalyse, seconds: number, speed: RunSpeed, vehicle: RunningGear): Repeat[] {
  const { motion } = speed;
  const circumference_m = vehicle.rollingCircumference_m ?? MIDDLING_CIRCUMFERENCE_M;
  if (!motion) return [];
  return run.segments.flatMap((segment): Repeat[] => {
    const to_s = Math.min(segment.to_s, seconds);
    const length = to_s - segment.from_s;
    if (length < LEAST_S) return [];
    const gearRatio = segment.gearRatio ?? null;
    const pieces = Math.max(1, Math.floor(length / REPEAT_S));
    return Array.from({ length: pieces }, (_, i): Repeat[] => {
      const from_s = segment.from_s + (i * length) / pieces;
      const end_s = segment.from_s + ((i + 1) * length) / pieces;
      const wheel_Hz = meanRate(motion, from_s, end_s);
      const km_h = wheel_Hz * circumference_m * 3.6;
      if (km_h < SLOWEST_KM_H) return [];
      const low_km_h = BAND_KM_H * Math.floor(km_h / BAND_KM_H);
      return [
        {
          from_s,
          to_s: end_s,
          state: segment.state,
          gearRatio,
          shafts: knownTurns(vehicle, gearRatio),
          wheel_Hz,
          speedBand: { low_km_h, high_km_h: low_km_h + BAND_KM_H },
        },
      ];
    }).flat();
  });
}

type Cell = {
  readonly state: DrivingState;
  readonly speedBand: SpeedBand;
  readonly stretches: readonly StretchMeasure[];
};

/** A channel's repeats by state and speed band. */
function cellsOf(channel: ChannelMeasure, repeats: readonly Repeat[]): Cell[] {
  const cells = new Map<string, { state: DrivingState; speedBand: SpeedBand; stretches: StretchMeasure[] }>();
  for (const [i, { state, speedBand }] of repeats.entries()) {
    const key = `${state} ${speedBand.low_km_h}`;
    const cell = cells.get(key) ?? { state, speedBand, stretches: [] };
    cell.stretches.push(channel.stretches[i]!);
    cells.set(key, cell);
  }
  return [...cells.values()];
}

type Figure = Pick<RunMeasure, 'kind' | 'part' | 'label'> & { readonly values: readonly number[] };

/** RMS of each part's lines, the noise under them included: so a healthy part has a level too. */
function orderLevels(cell: Cell, vehicle: RunningGear, sharp: boolean): Figure[] {
  const byLabel = new Map<string, { part: string; values: number[] }>();
  for (const { stretch, orders } of cell.stretches) {
    if (!orders) continue;
    for (const line of partOrders(vehicle, stretch.gearRatio).lines) {
      if (line.part === 'wheel-bearing' || line.orderAtWheel === null) continue;
      if (!sharp && line.orderAtWheel > BLUNT_ORDER) continue;
      const power = linePower(orders, line.orderAtWheel, LINE_TOLERANCE * line.orderAtWheel);
      if (!power) continue;
      const label = labelOf(line, stretch.gearRatio);
      const found = byLabel.get(label) ?? { part: line.part, values: [] };
      found.values.push(Math.sqrt(power.line + power.noiseInLine));
      byLabel.set(label, found);
    }
  }
  return [...byLabel].map(([label, { part, values }]) => ({ kind: 'orderLevel', part, label, values }));
}

/** An engine turns at another rate in each gear: its lines of two gears are two things. */
const labelOf = (line: OrderLine, gearRatio: number | null): string =>
  line.shaft === 'engine' && gearRatio !== null ? `${line.label} in gear ${gearRatio}` : line.label;

/** By how much impacts at a wheel bearing's rates stand out of the envelope, in the octave where they do so most. */
function prominences(cell: Cell, vehicle: RunningGear): Figure[] {
  return partOrders(vehicle)
    .lines.filter((line) => line.part === 'wheel-bearing')
    .map((line) => ({
      kind: 'envelopeProminence',
      part: line.part,
      label: line.label,
      values: cell.stretches.flatMap(({ envelopes }) => {
        const found = CARRIER_BANDS_HZ.flatMap((_, c) => {
          const spectrum = envelopes[c]?.orders;
          const power = spectrum && linePower(spectrum, line.order, SLIP * line.order);
          return power && power.noiseInLine > 0
            ? [powerLevelDb(power.line + power.noiseInLine, power.noiseInLine)]
            : [];
        });
        return found.length > 0 ? [Math.max(...found)] : [];
      }),
    }));
}

/** RMS in octaves; whatever turns, this is what the owner hears. */
function bandLevels(cell: Cell): Figure[] {
  const figures: Figure[] = [];
  for (let first = 0; first < LEVEL_BANDS; first += PER_OCTAVE) {
    const end = Math.min(first + PER_OCTAVE, LEVEL_BANDS);
    const values = cell.stretches
      .map(({ bands }) => Math.sqrt(bands.subarray(first, end).reduce((sum, p) => sum + p, 0)))
      .filter((rms) => rms > 0);
    const label = `${Math.round(levelBandEdge_Hz(first))}-${Math.round(levelBandEdge_Hz(end))} Hz`;
    figures.push({ kind: 'bandLevel', part: 'place', label, values });
  }
  return figures;
}

function spectrumOf(cell: Cell, fullScale: number): { step: number; rms: Float32Array } | null {
  const spectra = cell.stretches.flatMap((s): PowerOverOrder[] => (s.orders ? [s.orders] : []));
  const first = spectra[0];
  if (!first) return null;
  const bins = Math.min(first.power.length, Math.floor(DRAWN_ORDERS / first.step) + 1);
  const blocks = spectra.reduce((sum, s) => sum + s.blocks, 0);
  const rms = Float32Array.from({ length: bins }, (_, k) => {
    const power = spectra.reduce((sum, s) => sum + s.blocks * s.power[k]!, 0) / blocks;
    return Math.sqrt(power) / fullScale;
  });
  return { step: first.step, rms };
}

function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (values.length - 1));
}
