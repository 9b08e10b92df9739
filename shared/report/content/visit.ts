import type { HeardWhen } from '../../visit-work/intake.ts';
import type { ReportData } from '../report-data.ts';
import type { ReportWords } from '../words.ts';
import { clipped } from './clipped.ts';

const LONGEST_COMPLAINT = 500;
const MOST_RUNS = 3;

/** What the owner says, and when it is heard. */
export function ownerContent({ complaint, heard }: ReportData, words: ReportWords): readonly string[] {
  const { t } = words;
  const own = clipped(complaint, LONGEST_COMPLAINT);
  const when = heard ? heardWhen(heard, words) : [];
  return [own || t('owner.none'), ...(when.length > 0 ? [t('owner.heard', { when: when.join('; ') })] : [])];
}

function heardWhen(heard: HeardWhen, { t, quantity }: ReportWords): string[] {
  const [low, high] = [heard.speedFrom_km_h, heard.speedTo_km_h].map((v) =>
    v === null ? null : quantity(v, 'speed'),
  );
  const speed =
    low && high
      ? t('owner.between', { low, high })
      : low
        ? t('owner.from', { low })
        : high
          ? t('owner.upTo', { high })
          : null;
  return [
    speed,
    heard.bend && t(`owner.bend.${heard.bend}`),
    heard.torque && t(`owner.torque.${heard.torque}`),
    heard.laden && t(`owner.laden.${heard.laden}`),
    heard.warmth && t(`owner.warmth.${heard.warmth}`),
    heard.surface && t(`owner.surface.${heard.surface}`),
    heard.standing === null ? null : t(heard.standing ? 'owner.standing.yes' : 'owner.standing.no'),
  ].filter((s) => s !== null);
}

/** Runs and places, a sentence each. */
export function doneContent({ runs }: ReportData, words: ReportWords): readonly string[] {
  const { t, named, list, date, duration, quantity } = words;
  if (runs.length === 0) return [t('done.none')];
  const told = runs.slice(0, MOST_RUNS).map((run, i) => {
    const places = run.channels.map((c) => clipped(named('place', c.position), 60));
    const did = t('done.run', {
      number: i + 1,
      date: date(run.startedAt),
      duration: run.duration_s === null ? t('notKnown') : duration(run.duration_s),
      places: places.length > 0 ? list(places) : t('done.noPickup'),
    });
    if (run.states.length === 0) return did;
    const speeds = run.speed_km_h
      ? t('done.speeds', {
          low: quantity(run.speed_km_h.low, 'speed'),
          high: quantity(run.speed_km_h.high, 'speed'),
        })
      : '';
    return `${did} ${t('done.driven', { states: list(run.states.map((s) => t(`state.${s}`))), speeds })}`;
  });
  const more = runs.length - told.length;
  return [t('done.method'), ...told, ...(more > 0 ? [t('done.more', { count: more })] : [])];
}
