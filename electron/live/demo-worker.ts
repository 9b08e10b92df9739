import { parentPort, workerData } from 'node:worker_threads';
import { RoadDrive } from '../../seeds/road-drive/road-drive.ts';
import { demoToday } from '../../seeds/scenarios/demo.ts';

/** Renders the demo drive a chunk at a time, on demand, so that it never runs ahead of the listener. */
const { chunkFrames } = workerData as { chunkFrames: number };
const port = parentPort!;
let drive = new RoadDrive(demoToday(), 0);

/** At its end the drive begins again. */
function nextChunk(): Float32Array[] {
  const chunk = drive.render(chunkFrames);
  const missing = chunkFrames - chunk[0]!.length;
  if (missing === 0) return chunk;
  drive = new RoadDrive(demoToday(), 0);
  const rest = drive.render(missing);
  return chunk.map((samples, c) => {
    const whole = new Float32Array(chunkFrames);
    whole.set(samples);
    whole.set(rest[c]!, samples.length);
    return whole;
  });
}

port.on('message', () => {
  const chunk = nextChunk();
  port.postMessage(
    chunk,
    chunk.map((samples) => samples.buffer as ArrayBuffer),
  );
});
