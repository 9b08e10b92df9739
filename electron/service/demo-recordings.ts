import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { demoRecording, seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import { runInWorker } from '../analysis/run-in-worker.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/**
 * The sound of the demo garage, made when it is first wanted: to ship it would take hundreds of megabytes. With the
 * sound come its measured seconds, in the place of the plausible ones that the seeds have written.
 */
export class DemoRecordings {
  readonly #garage: Garage;
  readonly #recordings: RecordingsFolder;
  /** One after the other, as the processor has more to do. */
  #making: Promise<void> = Promise.resolve();
  readonly #wanted = new Map<number, Promise<void>>();
  readonly #ending = new AbortController();
  readonly #onMade: (runId: number) => void;

  /** @param onMade told when a run's recording is there */
  constructor(garage: Garage, recordings: RecordingsFolder, onMade: (runId: number) => void) {
    this.#garage = garage;
    this.#recordings = recordings;
    this.#onMade = onMade;
  }

  /** Fills the garage and begins with the recordings of the returning car. */
  addToGarage(): { returningVehicleId: number } {
    const { returningVehicleId } = seedDemoGarage(this.#garage);
    for (const { id } of this.#garage.vehicles.page(returningVehicleId).visits) {
      for (const run of this.#garage.visits.get(id).runs) this.ensure(run.id).catch(() => {});
    }
    return { returningVehicleId };
  }

  /** Resolves when the recording of a run is there; at once for every run that is not of the demo garage. */
  ensure(runId: number): Promise<void> {
    const { file } = this.#garage.runs.get(runId);
    if (existsSync(this.#recordings.file(file)) || !demoRecording(file)) return Promise.resolve();
    let made = this.#wanted.get(runId);
    if (!made) {
      made = this.#making.then(() => this.#make(runId, file));
      this.#wanted.set(runId, made);
      this.#making = made.catch(() => {
        // Asked again, it is tried again.
        this.#wanted.delete(runId);
      });
    }
    return made;
  }

  async #make(runId: number, file: string): Promise<void> {
    const run = this.#garage.runs.get(runId);
    const { spec } = this.#garage.vehicles.get(this.#garage.visits.get(run.visitId).vehicleId);
    const { seconds } = await runInWorker(
      'renderDemoRecording',
      { file, path: this.#recordings.file(file), vehicle: spec },
      { signal: this.#ending.signal },
    );
    this.#garage.transaction(() => {
      this.#garage.runs.appendSeconds(runId, seconds);
      this.#garage.runs.summarise(runId);
    });
    this.#onMade(runId);
  }

  /** Ends what is being made. */
  close(): void {
    this.#ending.abort(new Error('the program ends'));
  }
}
