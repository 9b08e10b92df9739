import type { Garage } from '../../db/open.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { VISIT_WORK_REQUESTS } from '../../shared/contract/visit-work-requests.ts';
import { message } from '../../shared/messages/message.ts';
import { CheckRunner } from '../live/check-runner.ts';
import type { LiveSession } from '../live/live-session.ts';
import { RoadGuide } from '../live/road-guide.ts';
import { AttachmentsFolder, sha256Of } from '../visit-work/attachments-folder.ts';
import { saveSettings, settingsOf } from '../visit-work/shop-settings.ts';
import { VisitDesk } from '../visit-work/visit-desk.ts';
import type { Handlers } from './dispatch.ts';
import { FieldError } from './field-error.ts';

export interface VisitWorkEdges {
  readonly garage: Garage;
  readonly dataFolder: string;
  readonly live: LiveSession;
  publish(event: AppEvent): void;
  report(error: unknown): void;
}

type VisitWorkHandlers = Pick<Handlers, keyof typeof VISIT_WORK_REQUESTS>;

/** The visit's work behind its requests; `onEvent` wants to hear what the live session publishes. */
export function visitWork(edges: VisitWorkEdges): {
  handlers: VisitWorkHandlers;
  onEvent(event: AppEvent): void;
} {
  const { garage, dataFolder, live, publish, report } = edges;
  const pictures = new AttachmentsFolder(dataFolder);
  pictures.sweep(garage.attachments.files());
  const checks = new CheckRunner({
    live,
    keep: (visitId, at, result) => garage.riggingChecks.add(visitId, at, result),
    publish,
    report,
  });
  const guide = new RoadGuide(live, publish);
  const desk = new VisitDesk(garage, (visitId) => guide.progress(visitId));

  const handlers: VisitWorkHandlers = {
    'work.begin': ({ vehicleId }) => desk.begin(vehicleId),
    'work.unfinished': () => desk.unfinished(),
    'work.get': ({ visitId }) => desk.get(visitId),
    'work.goTo': ({ visitId, step }) => desk.goTo(visitId, step),
    'work.skip': ({ visitId, step, skipped }) => desk.skip(visitId, step, skipped),
    'work.finish': ({ visitId, finished }) => desk.finish(visitId, finished),
    'work.saveIntake': ({ visitId, intake }) => desk.saveIntake(visitId, intake),
    'work.saveRigging': ({ visitId, rigging }) => desk.saveRigging(visitId, rigging),
    'work.saveInspection': ({ visitId, inspection }) => desk.saveInspection(visitId, inspection),
    'work.saveDecision': ({ visitId, decision }) => desk.saveDecision(visitId, decision),
    'work.history': ({ source, horizon_km }) => garage.visitWork.history(source, horizon_km),

    'drafts.save': ({ visitId, form, value }) => garage.drafts.save(visitId, form, value),
    'drafts.clear': ({ visitId, form }) => garage.drafts.clear(visitId, form),
    'drafts.get': ({ visitId, form }) => ({ value: garage.drafts.get(visitId, form) as never }),

    'attachments.add': async ({ visitId, name, mediaType, base64 }) => {
      if (visitId !== null) garage.visits.get(visitId);
      const bytes = Buffer.from(base64, 'base64');
      const file = await pictures.write(bytes, mediaType);
      try {
        const addedAt = new Date().toISOString();
        const sha256 = sha256Of(bytes);
        return garage.attachments.add(
          { visitId, name, mediaType, bytes: bytes.length, sha256, addedAt },
          file,
        );
      } catch (cause) {
        await pictures.remove(file);
        throw cause;
      }
    },
    'attachments.get': async ({ attachmentId }) => {
      const { file, ...attachment } = garage.attachments.get(attachmentId);
      const bytes = await pictures.read(file, attachment.sha256);
      return { attachment, base64: Buffer.from(bytes).toString('base64') };
    },
    'attachments.remove': async ({ attachmentId }) => {
      const { file, visitId } = garage.attachments.get(attachmentId);
      garage.transaction(() => {
        garage.attachments.remove(attachmentId);
        if (visitId !== null) desk.forgetPhoto(visitId, attachmentId);
      });
      await pictures.remove(file);
    },

    'settings.get': () => ({
      settings: settingsOf(garage),
      draft: garage.drafts.get(null, 'settings') as never,
    }),
    'settings.save': ({ settings }) => {
      const { logoId } = settings.shop;
      if (logoId !== null) garage.attachments.get(logoId);
      garage.transaction(() => {
        saveSettings(garage, settings);
        garage.drafts.clear(null, 'settings');
      });
      return settings;
    },

    'checks.start': ({ visitId, check }) => {
      if (visitId !== null) garage.visits.get(visitId);
      checks.start(visitId, check);
    },
    'checks.stop': () => checks.stop(),
    'checks.state': () => checks.state(),
    'rigging.useCalibration': ({ visitId, channel }) => desk.useCalibration(visitId, channel),
    'rigging.markRelative': ({ visitId, channel, relative }) => desk.markRelative(visitId, channel, relative),

    'roadCard.propose': (wishes) => desk.propose(wishes),
    'roadCard.follow': ({ visitId }) => {
      if (visitId === null) return guide.stop();
      const card = desk.roadCard(visitId);
      if (!card) throw new FieldError('visitId', message('error.noCard'));
      guide.follow(visitId, card, desk.drivenSoFar(visitId, card).manoeuvres);
    },
    'roadCard.choose': ({ manoeuvreId }) => guide.choose(manoeuvreId),
    'roadCard.segments': ({ runId }) => desk.segments(runId),
  };

  return {
    handlers,
    onEvent(event) {
      if (event.name !== 'live.state') return;
      try {
        desk.onLiveState(event.payload);
      } catch (cause) {
        // The run is complete and keeps the states that were keyed.
        report(cause);
      }
    },
  };
}
