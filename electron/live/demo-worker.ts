import { parentPort, workerData } from 'node:worker_threads';
import { RoadDrive } from '../../seeds/road-drive/drive.ts';
import { demoScenario } from '../../seeds/scenarios/demo.ts';

/** Renders the demo drive a chunk at a time, on demand, so that it never runs ahead of the listener. */
const { chunkFrames } = workerData as { chunkFrames: number };
const drive = new RoadDrive(demoScenario(), 0);
const port = parentPort!;

port.on('message', () => {
  const channels = drive.render(chunkFrames);
  // Copied, not transferred: the drive may keep its arrays for the next chunk.
  port.postMessage(channels.map((samples) => samples.slice()));
});
