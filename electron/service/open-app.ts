import { join } from 'node:path';
import { lockGarage } from '../../db/lock.ts';
import { openGarage } from '../../db/open.ts';
import { listDevices } from '../../native/capture/devices.ts';
import { PortAudioOutput } from '../../native/output/listening-output.ts';
import { type ForkChild, forkWithNode, portAudioChildFile } from '../../native/portaudio/child-link.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { runInWorker } from '../analysis/run-in-worker.ts';
import { takeRestored } from '../backup/restore.ts';
import { AnalysisDesk } from '../findings/analysis-desk.ts';
import { EvidencePlayer } from '../findings/evidence-player.ts';
import { LiveSession } from '../live/live-session.ts';
import { openSource } from '../live/open-source.ts';
import { LogFile, logLive } from '../log/log-file.ts';
import { MeasureQueue } from '../measures/measure-queue.ts';
import { removeLeftovers } from '../recording/leftovers.ts';
import { RecordingsFolder } from '../recording/recordings-folder.ts';
import { type PrintPdf, printWithBrowser } from '../report/print-pdf.ts';
import { ReportDesk } from '../report/report-desk.ts';
import { supportHandlers } from '../support/support-desk.ts';
import type { App } from './app.ts';
import { DemoRecordings } from './demo-recordings.ts';
import { dispatch, type Handlers } from './dispatch.ts';
import { findingsHandlers } from './findings-handlers.ts';
import { type ChooseFolder, folderHandlers } from './folder-handlers.ts';
import { makeFolder } from './make-folder.ts';
import { PROGRAM_VERSION } from './program-version.ts';
import { repairRuns } from './repair-runs.ts';
import { reportHandlers } from './report-handlers.ts';
import { returningCarHandlers } from './returning-car-handlers.ts';
import { runSpectrumInput } from './run-spectrum-input.ts';
import { speedLinks } from './speed-handlers.ts';
import { newRecording, startRun } from './start-run.ts';
import { visitWork } from './visit-work-handlers.ts';

export interface OpenAppOptions {
  readonly dataFolder: string;
  /** How child programs are started: Electron's utility process, or Node's fork. */
  readonly forkChild?: ForkChild;
  /** How a report becomes a PDF: Electron itself, or an installed browser. */
  readonly printPdf?: PrintPdf;
  /** The system's dialog for a folder, where there is one. */
  readonly chooseFolder?: ChooseFolder;
  /** Where errors go that are not meant for the technician, beside the log, which keeps no messages. */
  readonly report?: (error: unknown) => void;
}

/** Opens the garage in a folder, repairs what an interrupted recording left, and stands ready for a screen. */
export async function openApp(options: OpenAppOptions): Promise<App> {
  await makeFolder(options.dataFolder);
  const unlock = lockGarage(join(options.dataFolder, 'garage.db'));
  try {
    return await openLocked(options, unlock);
  } catch (error) {
    unlock();
    throw error;
  }
}

async function openLocked(options: OpenAppOptions, unlock: () => void): Promise<App> {
  const { dataFolder, forkChild = forkWithNode() } = options;
  const log = new LogFile(dataFolder);
  const report = (error: unknown, doing: string): void => {
    log.error(error, doing);
    if (options.report) options.report(error);
    // The message may quote what was typed in: it is for a developer's terminal, not for a system's journal.
    else if (process.stderr.isTTY) console.error(error);
  };
  // Only listens: what becomes of the process stays as it is.
  const onCrash = (error: Error): void => log.error(error, 'crash');
  const restored = takeRestored(dataFolder);
  const garage = openGarage(join(dataFolder, 'garage.db'));
  const recordings = new RecordingsFolder(dataFolder);
  const demo = new DemoRecordings(garage, recordings, (runId) => measuring.add(runId));
  const portAudioChild = portAudioChildFile();

  const onLive = logLive(log);
  const listeners = new Set<(event: AppEvent) => void>();
  const publish = (event: AppEvent): void => {
    if (event.name === 'live.state') onLive(event.payload);
    for (const listener of listeners) listener(event);
  };
  // Told to the first screen that listens: nobody is there yet while the repair goes on.
  const notices = await repairRuns(garage, recordings);
  const removed = removeLeftovers(garage, recordings, dataFolder);
  if (removed) notices.push(removed);
  log.write({
    what: 'started',
    version: PROGRAM_VERSION,
    repairedRuns: notices.length - (removed ? 1 : 0),
    leftovers: removed !== null,
  });
  if (restored) notices.push(restoredNotice(restored.before));

  const ensureSound = (runId: number): Promise<void> => demo.ensure(runId);
  const evidence = new EvidencePlayer({ garage, recordings, ensureSound });
  const analysis = new AnalysisDesk({
    garage,
    recordings,
    ensureSound,
    onProgress: (progress) => publish({ name: 'findings.progress', payload: progress }),
  });

  const live = new LiveSession({
    openSource: async (choice, channels, visitId) => {
      if (choice.kind === 'run') await demo.ensure(choice.runId);
      return openSource(
        { garage, recordings, forkChild, portAudioChild, evidence },
        choice,
        channels,
        visitId,
      );
    },
    openOutput: (name, sampleRate_Hz, onProblem) =>
      PortAudioOutput.open({
        device: name === null ? null : { name },
        sampleRate_Hz,
        onProblem,
        onRecovered: () => onProblem(null),
        forkChild,
        childFile: portAudioChild,
      }),
    newRecording: async () => {
      for (const told of await repairRuns(garage, recordings)) publish({ name: 'notice', payload: told });
      return newRecording(recordings);
    },
    startRun: (start) => startRun(garage, start, (runId) => measuring.add(runId)),
    vehicleLabel: (visitId) => garage.vehicles.get(garage.visits.get(visitId).vehicleId).spec.label,
    freeBytes: () => recordings.freeBytes(),
    publish,
    now_s: () => performance.now() / 1000,
  });

  const measuring = new MeasureQueue({
    garage,
    recordings,
    isRecording: () => live.state().recording !== null,
    onMeasured: (run) => publish({ name: 'runs.measured', payload: run }),
    report: (error) => report(error, 'measuring'),
  });
  measuring.addUnmeasured().catch((error) => report(error, 'measuring'));

  const work = visitWork({
    garage,
    dataFolder,
    live,
    publish,
    report: (error) => report(error, 'visit work'),
  });
  listeners.add(work.onEvent);
  const speed = speedLinks(live);

  const mayAnalyse = (): boolean => live.state().recording === null;
  const { printPdf = printWithBrowser() } = options;
  const reports = new ReportDesk({ garage, dataFolder, analysis, mayAnalyse, printPdf });

  const handlers: Handlers = {
    ...work.handlers,
    ...speed.handlers,
    ...folderHandlers(options.chooseFolder),
    ...supportHandlers({ garage, recordings, log }),
    ...findingsHandlers(analysis, evidence, live),
    ...reportHandlers(reports),
    ...returningCarHandlers({ dataFolder, garage, recordings, measuring, demo, live }),
    'vehicles.search': ({ text }) => garage.vehicles.search(text),
    'vehicles.page': ({ vehicleId }) => garage.vehicles.page(vehicleId),
    'vehicles.add': (vehicle) => garage.vehicles.add(vehicle),
    'vehicles.change': ({ vehicleId, vehicle }) => garage.vehicles.change(vehicleId, vehicle),
    'garage.addDemo': () => demo.addToGarage(),
    'visits.start': (visit) => garage.visits.start(visit),
    'visits.get': ({ visitId }) => garage.visits.get(visitId),
    'runs.history': ({ runId }) => garage.runs.history(runId),
    'runs.spectrum': async (request) => {
      await demo.ensure(request.runId);
      return runInWorker('runSpectrum', runSpectrumInput(garage, recordings, request));
    },
    'live.state': () => live.state(),
    'live.devices': () => listDevices(forkChild, portAudioChild),
    'live.open': (request) => live.open(request),
    'live.close': () => live.close(),
    'live.setChannels': ({ channels }) => live.setChannels(channels),
    'live.hear': (choice) => live.hear(choice),
    'live.hearPrevious': () => live.hearPrevious(),
    'live.listen': (change) => live.listen(change),
    'live.meterBand': ({ band }) => live.setMeterBand(band),
    'live.resetPeaks': () => live.resetPeaks(),
    'live.speed': (change) => live.setSpeed(change),
    'live.gearRatio': ({ gearRatio }) => live.setGearRatio(gearRatio),
    'live.drivingState': ({ state }) => live.setDrivingState(state),
    'live.record': ({ on }) => live.record(on),
    'live.mark': ({ text }) => live.mark(text),
  };

  process.on('uncaughtExceptionMonitor', onCrash);
  return {
    handle: (name, input) =>
      dispatch(handlers, name, input, (error, request, told) => {
        if (told) log.error(error, request);
        else report(error, request);
      }),
    subscribe(listener) {
      listeners.add(listener);
      for (const told of notices.splice(0)) listener({ name: 'notice', payload: told });
      return () => listeners.delete(listener);
    },
    async close() {
      demo.close();
      await speed.close();
      await analysis.close();
      await live.close();
      await evidence.close();
      await measuring.close();
      garage.close();
      log.write({ what: 'closed' });
      process.off('uncaughtExceptionMonitor', onCrash);
      unlock();
    },
  };
}

const restoredNotice = (before: string | null): Message =>
  before ? message('notice.restoredBeside', { folder: before }) : message('notice.restored');
