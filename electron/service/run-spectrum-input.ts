import type { Garage } from '../../db/open.ts';
import { wheelHz } from '../../shared/driveline/wheelSpeed.ts';
import { message } from '../../shared/messages/message.ts';
import type { RunSpectrumInput } from '../analysis/run-spectrum.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import { LiveError } from '../live/live-session.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';

/** Gathers what the spectrum of a recorded run needs: the file, the channel's place in it, and the wheels' rate. */
export function runSpectrumInput(
  garage: Garage,
  recordings: RecordingsFolder,
  request: { runId: number; channel: number; from_s: number; to_s: number },
): RunSpectrumInput {
  const run = garage.runs.get(request.runId);
  if (!run.channels.some((c) => c.channel === request.channel)) {
    throw new LiveError(message('error.channelNotInRun', { channel: request.channel }));
  }
  const { spec } = garage.vehicles.get(garage.visits.get(run.visitId).vehicleId);
  const circumference = spec.rollingCircumference_m;
  const speed = speedOf(garage, run.id);
  return {
    path: recordings.file(run.file),
    channelIndex: request.channel - 1,
    from_s: request.from_s,
    to_s: request.to_s,
    wheel:
      circumference && speed
        ? { t_s: speed.t_s, hz: speed.v_km_h.map((km_h) => wheelHz(km_h, circumference)) }
        : null,
  };
}
