import { existsSync } from 'node:fs';
import type { Garage } from '../../db/open.ts';
import { EVIDENCE_SOURCE, type EvidenceSound } from '../../shared/contract/findings-requests.ts';
import { message } from '../../shared/messages/message.ts';
import type { RenderedEvidence } from '../analysis/render-evidence.ts';
import { runInWorker } from '../analysis/run-in-worker.ts';
import { LiveError } from '../live/live-session.ts';
import type { OpenedSource } from '../live/opened-source.ts';
import { openPassing, removePassing } from '../live/passing-recording.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { visitToAnalyse } from './visit-to-analyse.ts';

export interface EvidencePlayerOptions {
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  readonly ensureSound: (runId: number) => Promise<void>;
}

/** Makes a visit's evidence heard: cut out of its recording in a worker, played from a passing one. */
export class EvidencePlayer {
  readonly #options: EvidencePlayerOptions;
  /** Made and not opened yet. */
  readonly #made = new Map<number, RenderedEvidence>();
  readonly #ending = new AbortController();

  constructor(options: EvidencePlayerOptions) {
    this.#options = options;
  }

  /**
   * Cuts the evidence out, ready to be opened.
   * @throws {LiveError} when there is no evidence that could be heard
   */
  async make(visitId: number): Promise<EvidenceSound> {
    const { garage, recordings, ensureSound } = this.#options;
    const stored = garage.findings.ofVisit(visitId);
    if (!stored) throw new LiveError(message('error.noFindings'));
    const { convincing, speedCorrection } = stored.findings;
    if (!convincing) throw new LiveError(message('error.nothingConvincing'));
    const { visit, runIds, paths } = visitToAnalyse(garage, recordings, visitId);
    if (runIds.join() !== stored.runIds.join()) {
      throw new LiveError(message('error.otherRuns'));
    }
    const runId = runIds[convincing.loud.run - 1]!;
    const path = paths[convincing.loud.run - 1]!;
    await ensureSound(runId);
    if (!existsSync(path)) {
      throw new LiveError(message('error.runGone', { run: convincing.loud.run }));
    }
    const made = await runInWorker(
      'renderEvidence',
      { visit, convincing, speedCorrection, path },
      { signal: this.#ending.signal },
    );
    if (!made) {
      throw new LiveError(message('error.evidenceUnplayable'));
    }
    await this.#forget(visitId);
    this.#made.set(visitId, made);
    return made.sound;
  }

  /** The evidence as a source; made first if it is not there. */
  async open(visitId: number): Promise<OpenedSource> {
    if (!this.#made.has(visitId)) await this.make(visitId);
    const { path } = this.#made.get(visitId)!;
    this.#made.delete(visitId);
    const { garage } = this.#options;
    const { loud, quiet } = garage.findings.ofVisit(visitId)!.findings.convincing!;
    return {
      kind: 'run',
      name: EVIDENCE_SOURCE,
      source: await openPassing(path),
      // Both were brought to one gain, so their levels are no longer accelerations.
      channels: [loud, quiet].map(({ position }, i) => ({
        channel: i + 1,
        role: 'vibration',
        position,
        fullScale_m_s2: null,
      })),
      vehicle: garage.vehicles.get(garage.visits.get(visitId).vehicleId).spec,
      startsAt_s: 0,
      speedAt: null,
    };
  }

  /** Ends what is being made and removes what was not played. */
  async close(): Promise<void> {
    this.#ending.abort(new Error('the program ends'));
    for (const visitId of [...this.#made.keys()]) await this.#forget(visitId);
  }

  async #forget(visitId: number): Promise<void> {
    const made = this.#made.get(visitId);
    this.#made.delete(visitId);
    if (made) await removePassing(made.path);
  }
}
