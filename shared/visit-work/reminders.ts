import { z } from 'zod';
import { hardStops, inspectionDoubts } from '../diagnosis/inspection.ts';
import { type Message, MessageSchema, message } from '../messages/message.ts';
import { cautionsFor } from './cautions.ts';
import type { Inspection } from './inspection.ts';
import type { Intake } from './intake.ts';
import { missingOf } from './missing.ts';
import type { Rigging } from './rigging.ts';
import { type Step, StepSchema } from './steps.ts';
import { tyreAge_years } from './tyre-age.ts';

export const ReminderSchema = z.object({
  step: StepSchema,
  /** Safety first, then what the proof rests on, then what helps. */
  weight: z.enum(['safety', 'proof', 'help']),
  text: MessageSchema,
});
export type Reminder = z.infer<typeof ReminderSchema>;

/** What a visit has so far, as far as reminders depend on it. */
export type VisitSoFar = {
  readonly intake: Intake;
  readonly rigging: Rigging;
  /** Results of checks, newest first. */
  readonly checks: readonly { readonly check: string; readonly verdict: string; readonly channel?: number }[];
  /** What the road card still lacks; null: there is no card. */
  readonly roadMissing: readonly Message[] | null;
  readonly runs: number;
  readonly inspection: Inspection;
  readonly decision: { readonly chosen: string | null; readonly nextCheck: boolean };
  readonly skipped: readonly Step[];
  /** Channels whose full scale is known. */
  readonly calibrated: readonly number[];
  /** At the vehicle's last visit before this one; null: not read, or there was none. */
  readonly earlierOdometer_km: number | null;
  readonly at: Date;
};

/** Older than this a tyre is looked at with suspicion (common practice). */
const OLD_TYRE_YEARS = 10;
/** Tyres of one axle should agree within this (common practice). */
const AXLE_PRESSURE_KPA = 20;

const ORDER = { safety: 0, proof: 1, help: 2 } as const;

/** What was skipped, forgotten or contradicts itself; safety first. */
export function remindersOf(visit: VisitSoFar): Reminder[] {
  const reminders: Reminder[] = [];
  const remind = (step: Step, weight: Reminder['weight'], text: Message) =>
    reminders.push({ step, weight, text });

  for (const { text } of hardStops(visit.inspection)) remind('inspection', 'safety', text);
  for (const { text } of inspectionDoubts(visit.inspection)) remind('inspection', 'safety', text);
  remindOfRigging(visit, remind);
  remindOfTyres(visit, remind);
  for (const step of visit.skipped) {
    remind(step, step === 'inspection' ? 'safety' : 'help', message(`skipped.${step}`));
  }
  for (const text of visit.roadMissing ?? []) remind('roadCard', 'proof', text);
  if (visit.runs > 0 && visit.intake.odometer_km === null) {
    remind('intake', 'proof', message('reminder.odometerNotRead'));
  }
  const { odometer_km } = visit.intake;
  if (odometer_km !== null && visit.earlierOdometer_km !== null && odometer_km < visit.earlierOdometer_km) {
    remind('intake', 'proof', message('reminder.odometerBack'));
  }
  const missing = missingOf(visit.intake);
  if (missing.length > 0 && !visit.skipped.includes('intake')) {
    const { name, adds } = missing[0]!;
    remind('intake', 'help', message('reminder.notKnown', { count: missing.length, name, adds }));
  }
  if (visit.decision.chosen === 'watch' && !visit.decision.nextCheck) {
    remind('decision', 'proof', message('reminder.nextCheck'));
  }
  return reminders.sort((a, b) => ORDER[a.weight] - ORDER[b.weight]);
}

type Remind = (step: Step, weight: Reminder['weight'], text: Message) => void;

function remindOfRigging(visit: VisitSoFar, remind: Remind): void {
  const { rigging, checks, calibrated } = visit;
  if (rigging.channels.length === 0) return;
  const cautions = cautionsFor(visit.intake.driveline.electricDrive);
  const open = cautions.filter((c) => !rigging.cautionsTicked.includes(c)).length;
  if (open > 0) {
    remind('rigging', 'safety', message('reminder.cautionsOpen', { open, all: cautions.length }));
  }

  const list = (channels: readonly number[]): Message =>
    message('channels', { count: channels.length, list: channels.map(String) });
  const newest = (check: string, channel: number) =>
    checks.find((c) => c.check === check && c.channel === channel)?.verdict;
  const channels = rigging.channels.map((c) => c.channel);
  const wrong = channels.filter((c) => newest('tap', c) === 'other');
  if (wrong.length > 0) {
    remind('rigging', 'proof', message('reminder.swapLeads', { channels: list(wrong) }));
  }
  const untapped = channels.filter((c) => newest('tap', c) !== 'right' && !wrong.includes(c));
  if (untapped.length > 0) {
    remind('rigging', 'proof', message('reminder.notTapped', { channels: list(untapped) }));
  }
  for (const check of ['noiseFloor', 'lead'] as const) {
    const result = checks.find((c) => c.check === check);
    if (!result) remind('rigging', 'help', message('reminder.notMeasured', { check }));
    else if (result.verdict === 'doubtful') {
      remind('rigging', 'proof', message('reminder.leftDoubt', { check }));
    }
  }
  const relative = channels.filter((c) => !calibrated.includes(c));
  if (relative.length > 0) {
    remind('rigging', 'proof', message('reminder.relative', { channels: list(relative) }));
  }
}

function remindOfTyres(visit: VisitSoFar, remind: Remind): void {
  const { wheels } = visit.intake.tyres;
  for (const axle of ['front', 'rear'] as const) {
    const left = wheels[`${axle}-left`].pressure_kPa;
    const right = wheels[`${axle}-right`].pressure_kPa;
    if (left !== null && right !== null && Math.abs(left - right) > AXLE_PRESSURE_KPA) {
      const difference_kPa = Math.abs(left - right);
      remind('intake', 'proof', message(`reminder.axlePressure.${axle}`, { difference_kPa }));
    }
  }
  const old = Object.entries(wheels).filter(
    ([, t]) => t.madeIn !== null && (tyreAge_years(t.madeIn, visit.at) ?? 0) > OLD_TYRE_YEARS,
  );
  if (old.length > 0) {
    const wheelsTold = old.map(([wheel]) => wheel);
    remind('intake', 'safety', message('reminder.oldTyres', { years: OLD_TYRE_YEARS, wheels: wheelsTold }));
  }
}
