import type { DriveLayout } from '../../driveline/words.ts';
import { UNNAMED_VEHICLE } from '../../visit-work/unnamed.ts';
import type { ReportData, ReportLogo } from '../report-data.ts';
import type { ReportWords } from '../words.ts';
import {
  type ComparisonContent,
  comparisonContent,
  type LevelsContent,
  levelsContent,
  type SpectrumContent,
  sourceInQuestion,
  spectrumContent,
} from './charts.ts';
import { clipped } from './clipped.ts';
import { inspectionContent, stopsContent } from './inspection.ts';
import { type OptionsContent, optionsContent } from './options.ts';
import { type VerdictContent, verdictContent } from './verdict.ts';
import { doneContent, ownerContent } from './visit.ts';

/** A report as it reads, whatever it is set in: every text in its language, every figure with its unit. */
export type ReportContent = {
  readonly title: string;
  /** Number of the visit and the day on which the report was made. */
  readonly subtitle: string;
  readonly shop: {
    readonly name: string;
    readonly address: readonly string[];
    readonly logo: ReportLogo | null;
  };
  readonly facts: readonly { readonly name: string; readonly value: string }[];
  readonly stops: readonly string[];
  readonly verdict: VerdictContent;
  readonly owner: readonly string[];
  readonly done: readonly string[];
  readonly picture: {
    readonly layout: DriveLayout | null;
    /** Where pickups sat, by position. */
    readonly places: readonly string[];
    readonly sentence: string;
  };
  readonly levels: LevelsContent | null;
  readonly spectrum: SpectrumContent | null;
  readonly comparison: ComparisonContent | null;
  readonly options: OptionsContent | null;
  readonly inspection: readonly string[];
  readonly nextCheck: readonly string[];
  /** What was left undone, a sentence each. */
  readonly stillOpen: readonly string[];
  readonly cautions: readonly string[];
  readonly signatures: readonly string[];
};

const LONGEST_NAME = 120;
const MOST_ADDRESS_LINES = 4;

/** Puts a report together; pure, so that the same visit always gives the same report. */
export function reportContent(data: ReportData, words: ReportWords): ReportContent {
  const { t, date, quantity } = words;
  const { settings, vehicle, findings, visitId } = data;
  const known = (value: string): string => clipped(value, LONGEST_NAME) || t('notKnown');
  const source = sourceInQuestion(findings);
  const levels = levelsContent(data, words);
  const places = [...new Set(data.runs.flatMap((r) => r.channels.map((c) => c.position)))];
  const options = optionsContent(data, words);
  const inspection = inspectionContent(data.inspection, words);
  const nextCheck = nextCheckContent(data, words);
  const made = t('madeOn', { date: date(data.madeAt) });
  return {
    title: t('title'),
    subtitle: visitId === null ? made : `${t('visit', { number: visitId })}, ${made}`,
    shop: {
      name: clipped(settings.shop.name, LONGEST_NAME),
      address: clipped(settings.shop.address, 300).split('\n').slice(0, MOST_ADDRESS_LINES),
      logo: settings.shop.logo,
    },
    facts: [
      { name: t('fact.vehicle'), value: known(vehicle.label === UNNAMED_VEHICLE ? '' : vehicle.label) },
      { name: t('fact.plate'), value: known(vehicle.plate) },
      { name: t('fact.vin'), value: known(vehicle.vin ?? '') },
      {
        name: t('fact.odometer'),
        value: data.odometer_km === null ? t('notKnown') : quantity(data.odometer_km, 'distance'),
      },
      { name: t('fact.date'), value: data.startedAt === null ? t('notKnown') : date(data.startedAt) },
    ],
    stops: stopsContent(data.inspection, words),
    verdict: verdictContent(findings, words),
    owner: ownerContent(data, words),
    done: doneContent(data, words),
    picture: {
      layout: vehicle.layout,
      places,
      sentence: levels
        ? `${t('picture.sentence')}${levels.places.every((p) => p.heard) ? '' : ` ${t('picture.unheard')}`}`
        : t(places.length > 0 ? 'picture.places' : 'picture.none'),
    },
    levels,
    spectrum: spectrumContent(data, source, words),
    comparison: comparisonContent(data, source, words),
    options,
    inspection,
    nextCheck,
    stillOpen: [
      ...(inspection.length > 0 ? [] : [t('inspection.none')]),
      ...(options ? [] : [t('options.none')]),
      ...(nextCheck.length > 0 ? [] : [t('next.none')]),
    ],
    cautions: [
      t('caution.worse'),
      t('caution.play'),
      ...(vehicle.electricDrive === false ? [] : [t('caution.highVoltage')]),
      t('caution.maker'),
      t('caution.basis'),
    ],
    signatures: [t('sign.technician'), t('sign.owner')],
  };
}

function nextCheckContent({ decision }: ReportData, { t, date, quantity }: ReportWords): readonly string[] {
  const on = decision?.nextCheck.date ?? null;
  const at_km = decision?.nextCheck.odometer_km ?? null;
  if (on === null && at_km === null) return [];
  const distance = at_km === null ? '' : quantity(at_km, 'distance');
  const said =
    on === null
      ? t('next.at', { distance })
      : at_km === null
        ? t('next.on', { date: date(on) })
        : t('next.either', { date: date(on), distance });
  return [said, t('next.sooner')];
}
