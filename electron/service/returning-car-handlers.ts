import type { Garage } from '../../db/open.ts';
import type { RETURNING_CAR_REQUESTS } from '../../shared/contract/returning-car-requests.ts';
import { valueAtLevel } from '../../shared/diagnosis/comparable.ts';
import { message } from '../../shared/messages/message.ts';
import { makeBackup } from '../backup/make-backup.ts';
import { stageRestore } from '../backup/restore.ts';
import { exportBundle } from '../bundles/export-bundle.ts';
import { importBundle } from '../bundles/import-bundle.ts';
import { lookAtBundle } from '../bundles/look-at-bundle.ts';
import type { LiveSession } from '../live/live-session.ts';
import type { MeasureQueue } from '../measures/measure-queue.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import {
  applyRetention,
  retentionPlan,
  retentionPolicy,
  setRetentionPolicy,
} from '../recording/retention.ts';
import { compareGarageVisits, spectrumAt } from '../returning/compare-visits.ts';
import { dueRows } from '../returning/due-list.ts';
import { setWearRise, vehicleWear, wearRise_db } from '../returning/vehicle-wear.ts';
import type { DemoRecordings } from './demo-recordings.ts';
import type { Handlers } from './dispatch.ts';

export interface ReturningCarSurroundings {
  readonly dataFolder: string;
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  readonly measuring: MeasureQueue;
  readonly demo: DemoRecordings;
  readonly live: LiveSession;
}

const today = (): string => new Date().toISOString().slice(0, 10);

/** What is asked about cars that come back, and about the garage as a whole. */
export function returningCarHandlers(
  around: ReturningCarSurroundings,
): Pick<Handlers, keyof typeof RETURNING_CAR_REQUESTS> {
  const { dataFolder, garage, recordings, measuring, demo, live } = around;
  return {
    'outcomes.set': ({ visitId, outcome }) => garage.outcomes.set(visitId, outcome),
    'outcomes.ofVehicle': ({ vehicleId }) => garage.outcomes.ofVehicle(vehicleId),
    'garage.due': ({ withinDays }) => dueRows(garage.outcomes.awaited(), today(), withinDays),

    'vehicles.wear': ({ vehicleId, series }) =>
      vehicleWear(garage, vehicleId, series, measuring.waitingOf(vehicleId), today()),
    'vehicles.setWearLimit': ({ vehicleId, series, level_db }) => {
      garage.vehicles.get(vehicleId);
      const unit = series.split(' | ').at(-2) ?? 'dB';
      garage.wearLimits.set(vehicleId, series, level_db === null ? null : valueAtLevel(unit, level_db));
    },
    'garage.wearRise': () => ({ rise_db: wearRise_db(garage) }),
    'garage.setWearRise': ({ rise_db }) => setWearRise(garage, rise_db),

    'visits.compare': ({ earlierVisitId, laterVisitId }) =>
      compareGarageVisits(garage, earlierVisitId, laterVisitId),
    'visits.overlay': ({ earlier, later, ...ground }) => ({
      earlier: spectrumAt(garage, earlier, ground),
      later: spectrumAt(garage, later, ground),
    }),
    'visits.hearBoth': async ({ earlier, later, ...ground }) => {
      await demo.ensure(earlier.runId);
      await demo.ensure(later.runId);
      const source = { kind: 'pair' as const, earlier, later, ...ground };
      await live.open({ source, visitId: null, channels: [] });
    },
    'visits.measure': async ({ visitId }) => {
      for (const run of garage.visits.get(visitId).runs) {
        await demo.ensure(run.id);
        measuring.add(run.id);
      }
    },

    'bundles.look': ({ folder }) => lookAtBundle(folder),
    'bundles.import': async ({ folder, vehicleId }) => {
      const made = await importBundle(garage, recordings, folder, vehicleId);
      await measuring.addUnmeasured();
      return made;
    },
    'bundles.export': ({ visitId, folder }) => exportBundle(garage, recordings, visitId, folder),

    'garage.backUp': ({ folder }) => makeBackup(garage, dataFolder, folder),
    'garage.restore': async ({ folder }) => {
      const { files } = await stageRestore(folder, dataFolder);
      return {
        files,
        sentence: message('restore.staged'),
      };
    },
    'retention.get': () => retentionPolicy(garage),
    'retention.set': (policy) => setRetentionPolicy(garage, policy),
    'retention.plan': () => retentionPlan(garage, recordings, retentionPolicy(garage)),
    'retention.apply': ({ runIds }) => applyRetention(garage, recordings, runIds),
  };
}
