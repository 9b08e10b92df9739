import type { Garage } from '../../db/open.ts';
import { MEASURES_METHOD } from '../../shared/diagnosis/comparable-measures.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { measureRunOf } from './measure-run.ts';

export interface MeasureQueueOptions {
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  /** A drive that is being recorded needs the processor more. */
  readonly isRecording: () => boolean;
  readonly onMeasured: (run: { runId: number; visitId: number; vehicleId: number }) => void;
  /** For us: the technician has lost nothing but a comparison. */
  readonly report: (error: unknown) => void;
}

const LOOK_AGAIN_MS = 5000;

/** Measures finished runs in the background, one after the other. */
export class MeasureQueue {
  readonly #options: MeasureQueueOptions;
  readonly #waiting = new Map<number, { visitId: number; vehicleId: number }>();
  readonly #ending = new AbortController();
  #timer: NodeJS.Timeout | null = null;
  #working: Promise<void> | null = null;

  constructor(options: MeasureQueueOptions) {
    this.#options = options;
  }

  /** Runs that were finished, repaired or imported and that this version has not measured. */
  addUnmeasured(): void {
    for (const runId of this.#options.garage.measures.unmeasured(MEASURES_METHOD)) this.add(runId);
  }

  /** Once more if it was measured before. */
  add(runId: number): void {
    const { garage } = this.#options;
    const { visitId } = garage.runs.get(runId);
    this.#waiting.set(runId, { visitId, vehicleId: garage.visits.get(visitId).vehicleId });
    this.#next();
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
  }

  #next(): void {
    if (this.#working || this.#waiting.size === 0 || this.#ending.signal.aborted) return;
    if (this.#options.isRecording()) {
      this.#timer ??= setTimeout(() => {
        this.#timer = null;
        this.#next();
      }, LOOK_AGAIN_MS).unref();
      return;
    }
    const [runId, run] = this.#waiting.entries().next().value!;
    this.#working = this.#measure(runId, run).finally(() => {
      this.#working = null;
      this.#next();
    });
  }

  async #measure(runId: number, run: { visitId: number; vehicleId: number }): Promise<void> {
    const { garage, recordings, onMeasured, report } = this.#options;
    const { signal } = this.#ending;
    try {
      const measured = await measureRunOf(garage, recordings, runId, { signal });
      this.#waiting.delete(runId);
      if (measured) onMeasured({ runId, ...run });
    } catch (error) {
      this.#waiting.delete(runId);
      if (!signal.aborted) report(error);
    }
  }
}
