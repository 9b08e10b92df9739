import { readdir } from 'node:fs/promises';
import type { MeasurableRun } from '../../db/measures.ts';
import type { Garage } from '../../db/open.ts';
import { MEASURES_METHOD } from '../../shared/diagnosis/comparable-measures.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { measureRunOf } from './measure-run.ts';

export interface MeasureQueueOptions {
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  /** A drive that is being recorded needs the processor more. */
  readonly isRecording: () => boolean;
  readonly onMeasured: (run: MeasurableRun) => void;
  /** For us: the technician has lost nothing but a comparison. */
  readonly report: (error: unknown) => void;
}

const LOOK_AGAIN_MS = 5000;
/** A run that has just ended is still being cut at its steady stretches. */
const SETTLE_MS = 1000;

/** Measures finished runs in the background, one after the other. */
export class MeasureQueue {
  readonly #options: MeasureQueueOptions;
  readonly #waiting = new Map<number, MeasurableRun>();
  readonly #ending = new AbortController();
  #timer: NodeJS.Timeout | null = null;
  #working: Promise<void> | null = null;
  #looking: Promise<void> = Promise.resolve();

  constructor(options: MeasureQueueOptions) {
    this.#options = options;
  }

  /** Recordings that were finished, repaired or imported and that this version has not measured. */
  addUnmeasured(): Promise<void> {
    this.#looking = this.#lookForUnmeasured();
    return this.#looking;
  }

  async #lookForUnmeasured(): Promise<void> {
    const { garage, recordings } = this.#options;
    const files = await readdir(recordings.path);
    if (this.#ending.signal.aborted) return;
    for (const file of files) {
      const run = garage.measures.unmeasured(file, MEASURES_METHOD);
      if (run) this.#waiting.set(run.runId, run);
    }
    this.#next();
  }

  /** Once more if it was measured before. */
  add(runId: number): void {
    const { garage } = this.#options;
    const { visitId } = garage.runs.get(runId);
    this.#waiting.set(runId, { runId, visitId, vehicleId: garage.visits.get(visitId).vehicleId });
    this.#nextIn(SETTLE_MS);
  }

  waitingOf(vehicleId: number): number {
    return [...this.#waiting.values()].filter((run) => run.vehicleId === vehicleId).length;
  }

  /** Ends what is being measured; it is measured at the next start. */
  async close(): Promise<void> {
    this.#ending.abort(new Error('the program ends'));
    if (this.#timer) clearTimeout(this.#timer);
    this.#waiting.clear();
    await this.#working;
    // Whoever started the look has been told of its failure; here it only must not outlive the queue.
    await this.#looking.catch(() => {});
  }

  #next(): void {
    if (this.#working || this.#waiting.size === 0 || this.#ending.signal.aborted) return;
    if (this.#options.isRecording()) {
      this.#nextIn(LOOK_AGAIN_MS);
      return;
    }
    const [run] = this.#waiting.values();
    this.#working = this.#measure(run!).finally(() => {
      this.#working = null;
      this.#next();
    });
  }

  #nextIn(ms: number): void {
    this.#timer ??= setTimeout(() => {
      this.#timer = null;
      this.#next();
    }, ms).unref();
  }

  async #measure(run: MeasurableRun): Promise<void> {
    const { garage, recordings, onMeasured, report } = this.#options;
    const { signal } = this.#ending;
    try {
      const measured = await measureRunOf(garage, recordings, run.runId, { signal });
      this.#waiting.delete(run.runId);
      if (measured) onMeasured(run);
    } catch (error) {
      this.#waiting.delete(run.runId);
      if (!signal.aborted) report(error);
    }
  }
}
