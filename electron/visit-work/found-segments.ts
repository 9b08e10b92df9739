import { z } from 'zod';
import type { Garage } from '../../db/open.ts';
import type { Run } from '../../shared/contract/garage.ts';
import { type FoundSegment, FoundSegmentSchema } from '../../shared/road-card/manoeuvre.ts';
import { steadySegments } from '../../shared/road-card/segments.ts';
import { speedOf } from '../bundles/recorded-speed.ts';

/** Under this key a segment that was found says how: it is not searched again. */
const FoundSchema = z.looseObject({ found: FoundSegmentSchema.omit({ segment: true }) });

/** Steady stretches of recorded runs, found once and remembered. */
export class FoundSegments {
  readonly #garage: Garage;
  readonly #remembered = new Map<number, { frames: number; found: FoundSegment[] }>();

  constructor(garage: Garage) {
    this.#garage = garage;
  }

  of(run: Run): FoundSegment[] {
    const cut = run.segments.flatMap((segment): FoundSegment[] => {
      const { data } = FoundSchema.safeParse(segment);
      return data ? [{ segment, ...data.found }] : [];
    });
    if (cut.length > 0) return cut;
    const known = this.#remembered.get(run.id);
    if (known?.frames === run.frames) return known.found;
    const speed = run.frames > 0 ? speedOf(this.#garage, run.id) : null;
    const found = speed ? steadySegments(speed, run.segments, run.frames / run.sampleRate_Hz) : [];
    this.#remembered.set(run.id, { frames: run.frames, found });
    return found;
  }

  /** Cuts a finished run at its steady stretches. Without any, what was keyed stays as it is. */
  cut(runId: number): void {
    const found = this.of(this.#garage.runs.get(runId));
    if (found.length === 0) return;
    const segments = found.map(({ segment, ...found }) => ({ ...segment, found }));
    this.#garage.runs.replaceSegments(runId, segments);
  }
}
