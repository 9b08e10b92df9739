/** Writes in real time until it is killed, and tells its parent how many frames it has given to the writer. */
import { WavWriter } from '../../native/wav/wav-writer.ts';

const RATE = 48_000;
const writer = await WavWriter.create(process.argv[2]!, { channels: 2, sampleRate_Hz: RATE });
const start = performance.now();
setInterval(() => {
  const due = Math.floor(((performance.now() - start) / 1000) * RATE) - writer.frames;
  const first = writer.frames;
  const ramp = Float32Array.from({ length: due }, (_, f) => first + f);
  writer.write([new Float32Array(due), ramp], due);
  process.send!(writer.frames);
}, 20);
