import { openWav } from '../../native/wav/wav-reader.ts';
import type { BundleRun, VehicleSpec } from '../../shared/bundle/visit.ts';
import type { OrderLine, RunSecond } from '../../shared/contract/garage.ts';
import type { Progress } from '../analysis/tasks.ts';
import { LivePipeline } from '../live/live-pipeline.ts';
import { SpeedInput } from '../live/speed-input.ts';

const BLOCK_FRAMES = 1024;

export interface RunSummaryInput {
  readonly path: string;
  readonly run: BundleRun;
  readonly vehicle: VehicleSpec;
}

export interface RunSummary {
  readonly orderLines: readonly OrderLine[];
  readonly seconds: readonly RunSecond[];
}

/**
 * What a recording would have left in the history had it been made here: its seconds, by the same pipeline that
 * watches a live source, as fast as it goes.
 */
export async function summariseRun(input: RunSummaryInput, progress: Progress): Promise<RunSummary> {
  const wav = await openWav(input.path);
  try {
    const { sampleRate_Hz, channels } = wav.format;
    const seconds: RunSecond[] = [];
    const speed = new SpeedInput();
    const pipeline = new LivePipeline({
      sampleRate_Hz,
      channels: input.run.channels,
      vehicle: input.vehicle,
      gearRatio: null,
      band: 'full',
      startsAt_s: 0,
      speed,
      heard: () => null,
      onLevels: () => {},
      onOrders: () => {},
      onSecond: (second) => seconds.push({ second: seconds.length, ...second }),
    });
    const gearRatioAt = (at_s: number): number | null =>
      input.run.segments.find((s) => s.from_s <= at_s && at_s < s.to_s)?.gearRatio ?? null;
    const block = Array.from({ length: channels }, () => new Float32Array(BLOCK_FRAMES));
    let reading = 0;
    for (let firstFrame = 0; ; ) {
      const frames = await wav.read(firstFrame, BLOCK_FRAMES, block);
      if (frames === 0) break;
      const now_s = firstFrame / sampleRate_Hz;
      const readings = input.run.speed;
      while (readings && reading < readings.t_s.length && readings.t_s[reading]! <= now_s) {
        speed.setReading('readings', readings.v_km_h[reading]!, now_s);
        reading++;
      }
      pipeline.setGearRatio(gearRatioAt(now_s));
      pipeline.feed({ firstFrame, frames, gapFrames: 0, channels: block, receivedAt_s: now_s }, now_s);
      firstFrame += frames;
      progress(firstFrame / wav.frames);
    }
    return { orderLines: pipeline.orderLines, seconds };
  } finally {
    await wav.close();
  }
}
