import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Command } from 'commander';
import { CaptureError, type CaptureListener } from '../../native/capture/capture-source.ts';
import { PortAudioSource } from '../../native/capture/portaudio-source.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';
import type { VisitBundle } from '../../shared/bundle/visit.ts';
import { english } from '../../shared/messages/tell.ts';
import { makeFolder } from '../service/make-folder.ts';
import { choiceOption, numberOption, wholeNumberOption } from './arguments.ts';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

interface RecordOptions {
  device: string;
  channels: number;
  seconds: number;
  out: string;
  rate: 44100 | 48000 | 96000;
  bits: 16 | 24 | 32;
}

export function registerRecord(program: Command): void {
  program
    .command('record')
    .description('record an interface into a visit bundle, without the window')
    .requiredOption('--device <name>', 'as `devices` lists it')
    .requiredOption('--channels <n>', '1 to 32', wholeNumberOption('channels', 1, 32))
    .requiredOption('--seconds <s>', 'how long', numberOption('seconds', 0.1, 36_000))
    .requiredOption('--out <bundle>', 'folder to make')
    .option('--rate <Hz>', '44100, 48000 or 96000', choiceOption('rate', [44100, 48000, 96000]), 48000)
    .option('--bits <n>', '16, 24 or 32', choiceOption('bits', [16, 24, 32]), 24)
    .action(record);
}

async function record(options: RecordOptions): Promise<void> {
  const { out, channels, rate, seconds } = options;
  const made = await makeFolder(out).catch((cause: NodeJS.ErrnoException) => {
    throw new CliInputError(`--out: ${out} cannot be made (${cause.code})`, { cause });
  });
  const startedAt = new Date().toISOString();
  const wanted = Math.round(seconds * rate);
  const source = new PortAudioSource({
    device: { name: options.device },
    channels,
    sampleRate_Hz: rate,
    bits: options.bits,
  });
  const writer = await WavWriter.create(join(out, 'run-1.wav'), { channels, sampleRate_Hz: rate }).catch(
    (cause: Error) => {
      throw new CliInputError(`--out: ${cause.message}`, { cause });
    },
  );
  let lost = 0;
  try {
    await new Promise<void>((resolve, reject) => {
      const listener: CaptureListener = {
        onBlock: ({ channels: samples, frames, gapFrames }) => {
          if (gapFrames > 0) writer.writeSilence(Math.min(gapFrames, wanted - writer.frames));
          lost += gapFrames;
          writer.write(samples, Math.min(frames, wanted - writer.frames));
          if (writer.error) reject(writer.error);
          if (writer.frames >= wanted) resolve();
        },
        onEvent: (event) => {
          if (event.kind === 'lost') print.log(english(event.told));
          if (event.kind === 'resumed') print.log(`Capture goes on after ${event.gapFrames} lost frames.`);
        },
      };
      source.start(listener).catch((cause) => {
        reject(
          cause instanceof CaptureError ? new CliInputError(`--device: ${cause.message}`, { cause }) : cause,
        );
      });
    });
  } finally {
    await source.stop();
    await writer.close();
    // Nothing came: nothing stays.
    if (writer.frames === 0) await rm(made ?? join(out, 'run-1.wav'), { recursive: true });
  }
  const bundle: VisitBundle = {
    formatVersion: 1,
    vehicle: { label: 'Vehicle not named yet', layout: 'fwd' },
    runs: [
      {
        file: 'run-1.wav',
        startedAt,
        channels: Array.from({ length: channels }, (_, i) => ({
          channel: i + 1,
          role: 'vibration' as const,
          position: `not placed ${i + 1}`,
          fullScale_m_s2: null,
        })),
        speed: null,
        segments: [],
      },
    ],
  };
  await writeFile(join(out, 'visit.json'), `${JSON.stringify(bundle, null, 2)}\n`, { flag: 'wx' });
  print.log(`${(writer.frames / rate).toFixed(1)} s of ${channels} channels in ${out}; ${lost} frames lost.`);
}
