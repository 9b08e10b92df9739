import type { CaptureSource } from '../../native/capture/capture-source.ts';
import type { BundleChannel, VehicleSpec } from '../../shared/bundle/visit.ts';

/** A source that is ready to start, with what is known of the vehicle and the pickups behind it. */
export interface OpenedSource {
  readonly kind: 'device' | 'demo' | 'run';
  readonly name: string;
  readonly source: CaptureSource;
  readonly channels: readonly BundleChannel[];
  readonly vehicle: VehicleSpec | null;
  /** Place in the recorded run of the source's first frame; 0 for a live source. */
  readonly startsAt_s: number;
  /** Timed readings that come with the source, or null where speed comes from a tacho or by hand. */
  readonly speedAt: ((at_s: number) => number | null) | null;
}
