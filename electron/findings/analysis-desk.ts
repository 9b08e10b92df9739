import { existsSync } from 'node:fs';
import type { StoredFindings } from '../../db/findings.ts';
import type { Garage } from '../../db/open.ts';
import type { AnalysisProgress, KeptFindings } from '../../shared/contract/findings-requests.ts';
import { message } from '../../shared/messages/message.ts';
import { runInWorker } from '../analysis/run-in-worker.ts';
import { LiveError } from '../live/live-session.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { changeBetween, visitToAnalyse } from './visit-to-analyse.ts';

export interface AnalysisDeskOptions {
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  /** Makes the sound of a run that does not have it yet. */
  readonly ensureSound: (runId: number) => Promise<void>;
  readonly onProgress: (progress: AnalysisProgress) => void;
}

interface Analysis {
  readonly ending: AbortController;
  readonly result: Promise<KeptFindings | null>;
}

const CANCELLED = new Error('the analysis was cancelled');

/** Analyses visits in a worker thread, one analysis per visit at a time, and keeps what was found. */
export class AnalysisDesk {
  readonly #options: AnalysisDeskOptions;
  readonly #running = new Map<number, Analysis>();

  constructor(options: AnalysisDeskOptions) {
    this.#options = options;
  }

  /** What the last analysis has found; null when there was none. */
  kept(visitId: number): KeptFindings | null {
    const { garage, recordings } = this.#options;
    const { runIds, madeFrom } = visitToAnalyse(garage, recordings, visitId);
    const stored = garage.findings.ofVisit(visitId);
    if (!stored) return null;
    const sameRuns = runIds.join() === stored.runIds.join();
    return asKept(stored, sameRuns ? changeBetween(stored.madeFrom, madeFrom) : 'runs');
  }

  /**
   * Analyses a visit, or joins the analysis that is under way.
   * @returns null when it was cancelled
   * @throws {LiveError} when there is nothing to analyse
   */
  analyse(visitId: number): Promise<KeptFindings | null> {
    const running = this.#running.get(visitId);
    if (running) return running.result;
    const ending = new AbortController();
    const result = this.#analyse(visitId, ending.signal)
      .catch((cause: unknown) => {
        if (ending.signal.aborted) return null;
        throw cause;
      })
      .finally(() => this.#running.delete(visitId));
    this.#running.set(visitId, { ending, result });
    return result;
  }

  cancel(visitId: number): void {
    this.#running.get(visitId)?.ending.abort(CANCELLED);
  }

  /** Ends every analysis; nothing of it is kept. */
  async close(): Promise<void> {
    const all = [...this.#running.values()];
    for (const { ending } of all) ending.abort(CANCELLED);
    await Promise.allSettled(all.map(({ result }) => result));
  }

  async #analyse(visitId: number, signal: AbortSignal): Promise<KeptFindings> {
    const { garage, recordings, ensureSound, onProgress } = this.#options;
    const { visit, inspection, runIds, paths, madeFrom } = visitToAnalyse(garage, recordings, visitId);
    if (runIds.length === 0) {
      throw new LiveError(message('error.nothingRecorded'));
    }
    for (const [i, runId] of runIds.entries()) {
      if (existsSync(paths[i]!)) continue;
      onProgress({ visitId, doing: 'makingSound', share: i / runIds.length });
      await untilAborted(ensureSound(runId), signal);
    }
    if (!paths.some((path) => existsSync(path))) {
      throw new LiveError(message('error.recordingsGone'));
    }
    onProgress({ visitId, doing: 'analysing', share: 0 });
    const findings = await runInWorker(
      'analyseRuns',
      { visit, paths, inspection },
      { signal, onProgress: (share) => onProgress({ visitId, doing: 'analysing', share }) },
    );
    const stored = { visitId, analysedAt: new Date().toISOString(), runIds, madeFrom, findings };
    garage.findings.keep(stored);
    return asKept(stored, null);
  }
}

const asKept = (
  { visitId, analysedAt, runIds, findings }: StoredFindings,
  outOfDate: KeptFindings['outOfDate'],
): KeptFindings => ({ visitId, analysedAt, runIds: [...runIds], outOfDate, findings });

/** What cannot be stopped goes on alone. */
function untilAborted<T>(work: Promise<T>, signal: AbortSignal): Promise<T> {
  return new Promise((resolve, reject) => {
    signal.throwIfAborted();
    signal.addEventListener('abort', () => reject(signal.reason), { once: true });
    work.then(resolve, reject);
  });
}
