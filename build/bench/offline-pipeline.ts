/**
 * The offline analysis of a recording with shared/dsp, timed; prints JSON. Started by offline.ts in a process of
 * its own: node offline-pipeline.ts FOLDER SECONDS. offline_pipeline.py does the same with SciPy.
 */
import { closeSync, openSync, readSync } from 'node:fs';
import path from 'node:path';
import { autoSpectrum, CrossSpectrumAverager, coherence } from '../../shared/dsp/coherence.ts';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import { SingleFirDecimator } from '../../shared/dsp/fir-single.ts';
import { squaredHilbertEnvelopeSingle } from '../../shared/dsp/hilbert-single.ts';
import { meanSquare } from '../../shared/dsp/levels.ts';
import { resamplingTaps } from '../../shared/dsp/resample.ts';
import { butterworthBandpass, SosFilter } from '../../shared/dsp/sos.ts';
import { WelchAverager } from '../../shared/dsp/spectrum.ts';
import { thirdOctaveBands, thirdOctaveMeanSquares } from '../../shared/dsp/third-octave.ts';
import { CHANNELS, SAMPLE_RATE_HZ } from './offline-recording.ts';

const SEGMENT = 8192;
/** Samples of one envelope block, and of what is read at once. */
const BLOCK = 65_536;
const DECIMATION = 8;

const [folder, seconds] = process.argv.slice(2);
const samples = Number(seconds) * SAMPLE_RATE_HZ;
await loadSingleFft();

const start = performance.now();
const cpuBefore = process.cpuUsage();
const files = Array.from({ length: CHANNELS }, (_, channel) =>
  openSync(path.join(folder!, `channel-${channel}.f32`), 'r'),
);
const blocks = files.map(() => new Float32Array(BLOCK));
const readBlock = (channel: number, at: number): Float32Array => {
  const block = blocks[channel]!.subarray(0, Math.min(BLOCK, samples - at));
  readSync(files[channel]!, block, 0, block.byteLength, at * 4);
  return block;
};

// First pass: which channel is the loudest.
const power = new Float64Array(CHANNELS);
for (let at = 0; at < samples; at += BLOCK) {
  for (let channel = 0; channel < CHANNELS; channel++) {
    const block = readBlock(channel, at);
    power[channel]! += meanSquare(block) * block.length;
  }
}
const loudest = power.indexOf(Math.max(...power));

// Second pass: everything else, block by block.
const cross = new CrossSpectrumAverager(CHANNELS, SAMPLE_RATE_HZ, {
  segmentLength: SEGMENT,
  precision: 'single',
  reference: loudest,
});
const bandpass = butterworthBandpass(4, 2000, 6000, SAMPLE_RATE_HZ);
const taps = resamplingTaps(1, DECIMATION);
const channels = files.map(() => ({
  bandpass: new SosFilter(bandpass),
  envelope: new WelchAverager(SAMPLE_RATE_HZ, { segmentLength: BLOCK, precision: 'single' }),
  decimator: new SingleFirDecimator(taps, DECIMATION),
  lowPower: 0,
  lowFrames: 0,
}));
const band = new Float32Array(BLOCK);
const decimated = new Float32Array(channels[0]!.decimator.outputLength(BLOCK));
for (let at = 0; at < samples; at += BLOCK) {
  const current = blocks.map((_, channel) => readBlock(channel, at));
  cross.push(current);
  channels.forEach((channel, c) => {
    const block = current[c]!;
    channel.bandpass.process(block, band);
    if (block.length === BLOCK) channel.envelope.push(squaredHilbertEnvelopeSingle(band, band));
    const frames = channel.decimator.process(block, decimated);
    channel.lowPower += meanSquare(decimated.subarray(0, frames)) * frames;
    channel.lowFrames += frames;
  });
}
const matrix = cross.result();
const bands = thirdOctaveBands(20, 20_000);
const results = channels.map((channel, c) => {
  const density = autoSpectrum(matrix, c);
  const psd = { ...matrix, density, noiseBandwidth_Hz: 0 };
  return {
    thirdOctaves: Array.from(thirdOctaveMeanSquares(psd, bands)),
    envelope: Array.from(channel.envelope.result().density.subarray(0, 2000)),
    decimatedMeanSquare: channel.lowPower / channel.lowFrames,
    coherence: Array.from(coherence(matrix, loudest, c)),
  };
});
const elapsed_s = (performance.now() - start) / 1000;
const cpu = process.cpuUsage(cpuBefore);
const cpu_s = (cpu.user + cpu.system) / 1e6;
for (const file of files) closeSync(file);
process.stdout.write(
  JSON.stringify({
    elapsed_s,
    cpu_s,
    loudest,
    results,
    peakMemory_MB: process.resourceUsage().maxRSS / 1024,
  }),
);
