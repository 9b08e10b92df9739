import type { Vehicle } from '../../shared/contract/garage.ts';
import type { AppEvent, RequestInput, RequestName } from '../../shared/contract/requests.ts';
import type { CheckState, VisitWork } from '../../shared/contract/visit-work.ts';
import { emptyDecision } from '../../shared/decision/decision.ts';
import { message } from '../../shared/messages/message.ts';
import { progressOf, stillMissing } from '../../shared/road-card/progress.ts';
import { proposeRoadCard } from '../../shared/road-card/propose.ts';
import { emptyInspection } from '../../shared/visit-work/inspection.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';
import { missingOf } from '../../shared/visit-work/missing.ts';
import { remindersOf } from '../../shared/visit-work/reminders.ts';
import { emptyRigging } from '../../shared/visit-work/rigging.ts';
import { defaultSettings, type Settings } from '../../shared/visit-work/settings.ts';
import type { Step } from '../../shared/visit-work/steps.ts';

type Answers = { [N in RequestName]?: (input: RequestInput<N>) => unknown };

const IDLE: CheckState = { running: null, channel: null, progress: null, text: null };
const PIXEL =
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==';

/** The visit's work in the fake main side: forms are kept, drafts are kept, the road card is a real one. */
export function fakeWork(
  vehicles: readonly Vehicle[],
  emit: (event: AppEvent) => void,
): { answers: Answers; answerTap(visitId: number, channel: number): void } {
  const works = new Map<number, VisitWork>();
  let settings: Settings = defaultSettings();
  let settingsDraft: VisitWork['drafts']['settings'] | null = null;
  let attachments = 0;

  const workOf = (visitId: number): VisitWork => {
    const vehicle = vehicles[0]!;
    const work = works.get(visitId) ?? {
      visitId,
      vehicleId: vehicle.id,
      vehicleLabel: vehicle.spec.label,
      startedAt: '2026-06-09T14:00:00+02:00',
      step: 'intake' as const,
      finishedAt: null,
      intake: {
        ...emptyIntake(),
        label: vehicle.spec.label,
        plate: vehicle.plate,
        driveline: { ...emptyIntake().driveline, layout: vehicle.spec.layout },
      },
      rigging: emptyRigging(),
      checks: [],
      roadCard: null,
      roadProgress: { following: false, current: null, manoeuvres: [], missing: [] },
      inspection: emptyInspection(),
      decision: emptyDecision(),
      done: [],
      skipped: [],
      attachments: [],
      missing: [],
      reminders: [],
      drafts: {},
    };
    works.set(visitId, work);
    return work;
  };
  const told = (work: VisitWork): VisitWork => ({
    ...work,
    missing: missingOf(work.intake),
    reminders: remindersOf({
      ...work,
      checks: work.checks.map(({ result }) => result),
      roadMissing: work.roadCard && work.roadProgress.missing,
      runs: 0,
      decision: { chosen: work.decision.chosen, nextCheck: false },
      calibrated: [],
      earlierOdometer_km: null,
      at: new Date(work.startedAt),
    }),
  });
  const change = (visitId: number, part: Partial<VisitWork>): VisitWork => {
    works.set(visitId, { ...workOf(visitId), ...part });
    return told(workOf(visitId));
  };
  const saved = (visitId: number, form: Step & keyof VisitWork['drafts'], part: Partial<VisitWork>) => {
    const { done, drafts } = workOf(visitId);
    const { [form]: _, ...others } = drafts;
    return change(visitId, { ...part, done: [...new Set([...done, form])], drafts: others });
  };

  const answers: Answers = {
    'work.begin': () => change(21, {}),
    'work.unfinished': () =>
      [...works.values()]
        .filter((w) => w.finishedAt === null)
        .map(({ visitId, vehicleLabel, intake, step }) => ({
          visitId,
          vehicleLabel,
          plate: intake.plate,
          step,
          changedAt: '2026-06-09T14:00:00+02:00',
        })),
    'work.get': ({ visitId }) => told(workOf(visitId)),
    'work.goTo': ({ visitId, step }) => change(visitId, { step }),
    'work.skip': ({ visitId, step }) => change(visitId, { skipped: [...workOf(visitId).skipped, step] }),
    'work.finish': ({ visitId, finished }) =>
      change(visitId, { finishedAt: finished ? '2026-06-09T16:00:00+02:00' : null }),
    'work.saveIntake': ({ visitId, intake }) => saved(visitId, 'intake', { intake }),
    'work.saveRigging': ({ visitId, rigging }) => saved(visitId, 'rigging', { rigging }),
    'work.saveInspection': ({ visitId, inspection }) => saved(visitId, 'inspection', { inspection }),
    'work.saveDecision': ({ visitId, decision }) => saved(visitId, 'decision', { decision }),
    'work.history': () => ({ known: 2, repaired: 1 }),

    'drafts.save': ({ visitId, form, value }) => {
      if (visitId === null) settingsDraft = value;
      else change(visitId, { drafts: { ...workOf(visitId).drafts, [form]: value } });
      return null;
    },
    'drafts.clear': ({ visitId, form }) => {
      if (visitId === null) settingsDraft = null;
      else {
        const { [form]: _, ...drafts } = workOf(visitId).drafts;
        change(visitId, { drafts });
      }
      return null;
    },
    'settings.get': () => ({ settings, draft: settingsDraft }),
    'settings.save': (input) => {
      settings = input.settings;
      settingsDraft = null;
      return settings;
    },
    'attachments.add': ({ visitId, name, mediaType, base64 }) => ({
      id: ++attachments,
      visitId,
      name,
      mediaType,
      bytes: base64.length,
      sha256: '0'.repeat(64),
      addedAt: '2026-06-09T14:00:00+02:00',
    }),
    'attachments.get': ({ attachmentId }) => ({
      attachment: {
        id: attachmentId,
        visitId: null,
        name: 'picture',
        mediaType: 'image/png',
        bytes: 70,
        sha256: '0'.repeat(64),
        addedAt: '2026-06-09T14:00:00+02:00',
      },
      base64: PIXEL,
    }),

    'checks.start': ({ check }) => {
      const channel = 'channel' in check ? check.channel : null;
      emit({
        name: 'checks.state',
        payload: {
          running: check.check,
          channel,
          progress: null,
          text: message('check.tap.askChannel', { channel }),
        },
      });
      return null;
    },
    'checks.stop': () => {
      emit({ name: 'checks.state', payload: IDLE });
      return null;
    },
    'rigging.markRelative': ({ visitId, channel, relative }) => {
      const { rigging } = workOf(visitId);
      const channels = rigging.channels.map((c) => (c.channel === channel ? { ...c, relative } : c));
      return change(visitId, { rigging: { ...rigging, channels } });
    },
    'roadCard.propose': ({ visitId, open, neutralAllowed, limit_km_h }) => {
      const { heard, driveline } = workOf(visitId).intake;
      const { layout, electricDrive } = driveline;
      const card = proposeRoadCard({ heard, layout, electricDrive, open, neutralAllowed, limit_km_h });
      const manoeuvres = progressOf(card, []);
      const missing = stillMissing(card, manoeuvres);
      return saved(visitId, 'roadCard', {
        roadCard: card,
        roadProgress: { following: false, current: null, manoeuvres, missing },
      });
    },
    'roadCard.follow': ({ visitId }) => {
      const work = visitId === null ? null : workOf(visitId);
      emit({
        name: 'road.progress',
        payload: {
          following: work !== null,
          current: work?.roadCard?.manoeuvres[0]?.id ?? null,
          manoeuvres: work?.roadProgress.manoeuvres ?? [],
          missing: [],
        },
      });
      return null;
    },
    'roadCard.choose': () => null,
    'report.preview': () => ({
      html: '<!doctype html><html lang="en"><head><style>h1 { color: rgb(1, 2, 3); }</style></head><body><h1>Report on a noise</h1></body></html>',
    }),
    'report.save': ({ format }) => ({ path: `/garage/reports/report-12.${format}`, format }),
  };
  return {
    answers,
    answerTap(visitId, channel) {
      const result = {
        check: 'tap' as const,
        channel,
        verdict: 'right' as const,
        answered: channel,
        margin_db: 20,
        channels: [{ channel, rise_db: 30, peak: 0.4, after_ms: 0 }],
        text: message('check.tap.rightChannel', { channel }),
      };
      const at = '2026-06-09T14:05:00+02:00';
      const { checks } = workOf(visitId);
      change(visitId, { checks: [{ id: checks.length + 1, at, result }, ...checks] });
      emit({ name: 'checks.state', payload: IDLE });
      emit({ name: 'checks.result', payload: { visitId, check: { at, result } } });
    },
  };
}
