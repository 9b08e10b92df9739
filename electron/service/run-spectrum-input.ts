import type { Garage } from '../../db/open.ts';
import { wheelHz } from '../../shared/driveline/wheelSpeed.ts';
import type { RunSpectrumInput } from '../analysis/run-spectrum.ts';
import { LiveError } from '../live/live-session.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/** Gathers what the spectrum of a recorded run needs: the file, the channel's place in it, and the wheels' rate. */
export function runSpectrumInput(
  garage: Garage,
  recordings: RecordingsFolder,
  request: { runId: number; channel: number; from_s: number; to_s: number },
): RunSpectrumInput {
  const { run, second, speed_km_h } = garage.runs.history(request.runId);
  if (!run.channels.some((c) => c.channel === request.channel)) {
    throw new LiveError(`Channel ${request.channel} is not in this run.`);
  }
  const { spec } = garage.vehicles.get(garage.visits.get(run.visitId).vehicleId);
  const circumference = spec.rollingCircumference_m;
  const readings = garage.runs.speed(run.id);
  // The speed of a recorded second is the one at its end.
  const timed =
    readings.t_s.length > 0
      ? readings.t_s.map((t, i) => ({ t, km_h: readings.v_km_h[i]! }))
      : second.flatMap((s, i) => (speed_km_h[i] == null ? [] : [{ t: s + 1, km_h: speed_km_h[i] }]));
  return {
    path: recordings.file(run.file),
    channelIndex: request.channel - 1,
    from_s: request.from_s,
    to_s: request.to_s,
    wheel:
      circumference && timed.length > 1
        ? { t_s: timed.map(({ t }) => t), hz: timed.map(({ km_h }) => wheelHz(km_h, circumference)) }
        : null,
  };
}
