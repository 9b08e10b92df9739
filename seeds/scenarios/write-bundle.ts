import { closeSync, mkdirSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { RoadDrive } from '../road-drive/road-drive.ts';
import type { VisitScenario } from '../road-drive/scenario.ts';
import { type SimulatedVisit, visitBundle } from '../road-drive/simulate.ts';

const BYTES = 4;
const CHUNK_FRAMES = 65_536;
/** WAVE format tag of IEEE 754 float samples. */
const FORMAT_FLOAT = 3;

/** Writes a simulated visit as a bundle: `visit.json` and a 32-bit float WAV per run. */
export function writeVisitBundle(visit: SimulatedVisit, dir: string): void {
  mkdirSync(dir, { recursive: true });
  visit.runs.forEach(({ sampleRate_Hz, channels }, i) => {
    const frames = channels[0]?.length ?? 0;
    const write = (fd: number) => {
      for (let at = 0; at < frames; at += CHUNK_FRAMES) {
        writeSync(fd, interleave(channels.map((samples) => samples.subarray(at, at + CHUNK_FRAMES))));
      }
    };
    writeWav(join(dir, visit.bundle.runs[i]!.file), sampleRate_Hz, channels.length, frames, write);
  });
  writeFileSync(join(dir, 'visit.json'), `${JSON.stringify(visit.bundle, null, 2)}\n`);
}

/** The same, run by run as it is driven: a long drive never stands in memory as a whole. */
export function writeScenarioBundle(scenario: VisitScenario, dir: string): void {
  mkdirSync(dir, { recursive: true });
  const drives = scenario.runs.map((_, i) => new RoadDrive(scenario, i));
  for (const drive of drives) {
    const write = (fd: number) => {
      for (let at = 0; at < drive.frames; at += CHUNK_FRAMES)
        writeSync(fd, interleave(drive.render(CHUNK_FRAMES)));
    };
    writeWav(join(dir, drive.run.file), drive.sampleRate_Hz, drive.channelCount, drive.frames, write);
  }
  writeFileSync(join(dir, 'visit.json'), `${JSON.stringify(visitBundle(scenario, drives), null, 2)}\n`);
}

function writeWav(
  file: string,
  sampleRate_Hz: number,
  channels: number,
  frames: number,
  writeSamples: (fd: number) => void,
): void {
  const dataBytes = frames * channels * BYTES;
  if (dataBytes > 0xffff_ff00)
    throw new Error(`${file}: a drive of more than 4 GiB does not fit a plain WAV.`);
  const fd = openSync(file, 'w');
  try {
    writeSync(fd, wavHeader(sampleRate_Hz, channels, dataBytes));
    writeSamples(fd);
  } finally {
    closeSync(fd);
  }
}

function wavHeader(sampleRate_Hz: number, channels: number, dataBytes: number): Buffer {
  const header = Buffer.alloc(44);
  header.write('RIFF', 0);
  header.writeUInt32LE(36 + dataBytes, 4);
  header.write('WAVEfmt ', 8);
  header.writeUInt32LE(16, 16);
  header.writeUInt16LE(FORMAT_FLOAT, 20);
  header.writeUInt16LE(channels, 22);
  header.writeUInt32LE(sampleRate_Hz, 24);
  header.writeUInt32LE(sampleRate_Hz * channels * BYTES, 28);
  header.writeUInt16LE(channels * BYTES, 32);
  header.writeUInt16LE(8 * BYTES, 34);
  header.write('data', 36);
  header.writeUInt32LE(dataBytes, 40);
  return header;
}

function interleave(channels: readonly Float32Array[]): Uint8Array {
  const frames = channels[0]?.length ?? 0;
  const out = new Float32Array(frames * channels.length);
  channels.forEach((samples, c) => {
    for (let i = 0; i < frames; i++) out[i * channels.length + c] = samples[i]!;
  });
  return new Uint8Array(out.buffer);
}
