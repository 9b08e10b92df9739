/** Writes more than its file size limit allows, and prints what the writer said. */
import { WavWriter } from '../../native/wav/wav-writer.ts';

process.on('SIGXFSZ', () => {});
const errors: string[] = [];
const writer = await WavWriter.create(process.argv[2]!, {
  channels: 1,
  sampleRate_Hz: 48_000,
  onError: (error) => errors.push(error.message),
});
for (let first = 0; first < 480_000; first += 4800) {
  const fits = writer.write([Float32Array.from({ length: 4800 }, (_, f) => first + f)], 4800);
  if (!fits) await writer.drain();
}
const closeRejected = await writer.close().then(
  () => false,
  () => true,
);
console.log(JSON.stringify({ errors, closeRejected }));
