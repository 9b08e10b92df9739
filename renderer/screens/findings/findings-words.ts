import type { TFunction } from 'i18next';
import type { Convincing, Findings } from '../../../shared/diagnosis/findings.ts';
import { formatNumber } from '../../format.ts';

/** Relative distance within which a line of the vehicle gives an order its name. */
const SAME_ORDER = 0.02;

/** A probability as it is said: never 0 and never 100 %. */
export function percent(t: TFunction, probability: number): string {
  if (probability > 0.995) return t('findings.parts.over', { value: 99 });
  if (probability < 0.005) return t('findings.parts.under', { value: 1 });
  return t('findings.parts.percent', { value: Math.round(100 * probability) });
}

const sentenceStart = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What it is that convinces: a named order, knocking, or a band of noise. */
export function evidenceName(
  t: TFunction,
  { kind, order, band_Hz }: Convincing,
  lines: Findings['lines'],
  orderName: (label: string) => string,
  language: string,
): string {
  const number = (value: number) => formatNumber(Number(value.toPrecision(3)), language);
  if (order === null) {
    return t('findings.what.band', { low: number(band_Hz?.[0] ?? 0), high: number(band_Hz?.[1] ?? 0) });
  }
  if (kind === 'envelope') {
    return t('findings.what.envelope', {
      order: number(order),
      low: number(band_Hz?.[0] ?? 0),
      high: number(band_Hz?.[1] ?? 0),
    });
  }
  const near = lines
    .map((line) => ({ label: line.label, distance: Math.abs(line.order / order - 1) }))
    .filter(({ distance }) => distance < SAME_ORDER)
    .sort((a, b) => a.distance - b.distance)[0];
  return near
    ? t('findings.what.orders', { label: sentenceStart(orderName(near.label)), order: number(order) })
    : t('findings.what.ordersUnnamed', { order: number(order) });
}
