import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { Unit } from '../../shared/contract/live.ts';
import { formatFixed } from '../format.ts';

/** Standard acceleration of free fall, m/s² (ISO 80000-3, exact by definition). */
export const G_m_s2 = 9.80665;
/** Reference acceleration for levels in decibel, m/s² (ISO 1683). */
export const REFERENCE_m_s2 = 1e-6;
/** A meter shows this much below the top of its scale. */
const SPAN_db = 80;
/** The energy of one order lies lower: its bars run from 20 dB below the top over the next 70. */
const LINE_TOP_db = 20;
const LINE_SPAN_db = 70;

/** What levels are shown in: one unit for everything on a screen, never two on one scale. */
export interface LevelScale {
  readonly label: 'm/s²' | 'g' | 'dB re 1e-6 m/s²' | 'dB re full scale';
  readonly decibel: boolean;
  /** Ratio of full scale to the shown value; `fullScale_m_s2` is the channel's. */
  value(ratio: number, fullScale_m_s2: number | null): number;
  /** Place on the meter, 0 at the foot and 1 at the top; logarithmic in every unit. */
  place(ratio: number, fullScale_m_s2: number | null): number;
  /** The same for the energy of a single order, on a lower scale. */
  linePlace(ratio: number, fullScale_m_s2: number | null): number;
  /** Lines of the meter's scale, foot first. */
  readonly ticks: readonly { readonly place: number; readonly value: number }[];
}

export function fullScaleOf(channel: BundleChannel): number | null {
  return channel.role === 'vibration' ? (channel.fullScale_m_s2 ?? null) : null;
}

const onMeter = (place: number) => Math.min(1, Math.max(0, place));

/** Powers of ten from `from` to `to`, both included. */
export const decades = (from: number, to: number): number[] => {
  const list: number[] = [];
  for (let exponent = Math.ceil(Math.log10(from) - 1e-9); 10 ** exponent <= to * (1 + 1e-9); exponent++)
    list.push(Number(`1e${exponent}`));
  return list;
};

/**
 * The scale of a set of channels.
 * @param absolute every vibration channel has a known full scale; otherwise only dB re full scale is honest
 * @param unit the technician's choice; ignored on a relative scale
 */
export function levelScale(channels: readonly BundleChannel[], absolute: boolean, unit: Unit): LevelScale {
  const fullScales = channels.map(fullScaleOf).filter((x) => x !== null);
  const top = absolute && fullScales.length > 0 ? Math.max(...fullScales) : 1;
  const amount = absolute
    ? (ratio: number, fullScale: number | null) => ratio * (fullScale ?? 0)
    : (ratio: number) => ratio;
  const below = (x: number) => 20 * Math.log10(x / top);
  const placeOf = (x: number) => onMeter(1 + below(x) / SPAN_db);
  const place = (ratio: number, fullScale: number | null) => placeOf(amount(ratio, fullScale));
  const linePlace = (ratio: number, fullScale: number | null) =>
    onMeter(1 + (below(amount(ratio, fullScale)) + LINE_TOP_db) / LINE_SPAN_db);
  const foot = top * 10 ** (-SPAN_db / 20);

  if (absolute && unit !== 'dB') {
    const one = unit === 'g' ? G_m_s2 : 1;
    return {
      label: unit,
      decibel: false,
      value: (ratio, fullScale) => amount(ratio, fullScale) / one,
      place,
      linePlace,
      ticks: decades(foot / one, top / one).map((x) => ({ place: placeOf(x * one), value: x })),
    };
  }
  const reference = absolute ? REFERENCE_m_s2 : 1;
  const decibels = (x: number) => 20 * Math.log10(x / reference);
  const first = Math.ceil(decibels(foot) / 20) * 20;
  const ticks = [];
  for (let db = first; db <= decibels(top) + 1e-9; db += 20)
    ticks.push({ place: placeOf(reference * 10 ** (db / 20)), value: db });
  return {
    label: absolute ? 'dB re 1e-6 m/s²' : 'dB re full scale',
    decibel: true,
    value: (ratio, fullScale) => decibels(amount(ratio, fullScale)),
    place,
    linePlace,
    ticks,
  };
}

/** A level as a short number that keeps its width while it moves. */
export function formatLevel(value: number, decibel: boolean, language: string): string {
  if (!Number.isFinite(value)) return '–';
  const decimals = decibel ? 1 : value >= 100 ? 0 : value >= 10 ? 1 : value >= 1 ? 2 : 3;
  return formatFixed(value, decimals, language);
}
