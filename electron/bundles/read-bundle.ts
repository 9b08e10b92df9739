import { lstat, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { openWav } from '../../native/wav/wav-reader.ts';
import { BundleError, parseVisitBundle, type VisitBundle } from '../../shared/bundle/visit.ts';
import { message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';

/** A visit.json of a thousand runs is far smaller; what is larger is no visit. */
const LARGEST_JSON_BYTES = 64 * 1024 * 1024;

export interface BundleOnDisk {
  readonly folder: string;
  readonly visit: VisitBundle;
  /** Of each run in turn. */
  readonly files: readonly {
    readonly path: string;
    readonly sampleRate_Hz: number;
    readonly frames: number;
  }[];
}

/**
 * Reads a bundle and checks everything that can be checked without reading the samples: the fields of visit.json,
 * and that every recording is a file of the bundle, can be opened and has the channels that visit.json speaks of.
 * @throws {BundleError} naming the file and the field
 */
export async function readBundle(folder: string): Promise<BundleOnDisk> {
  const visit = await readVisit(folder);
  const files = [];
  for (const [i, run] of visit.runs.entries()) files.push(await checkRecording(folder, run, `runs[${i}]`));
  return { folder, visit, files };
}

/** Reads a bundle's visit.json and nothing else. @throws {BundleError} naming the file and the field */
export async function readVisit(folder: string): Promise<VisitBundle> {
  const path = join(folder, 'visit.json');
  const info = await lstat(path).catch(() => {
    throw new BundleError(path, '', message('bundle.notThere'));
  });
  if (!info.isFile()) throw new BundleError(path, '', message('bundle.notAFile'));
  if (info.size > LARGEST_JSON_BYTES) throw new BundleError(path, '', message('bundle.tooLarge'));
  return parseVisitBundle(await readFile(path, 'utf8'), path);
}

/** Checks that a run's recording is a file of the bundle, can be opened and has the run's channels. */
export async function checkRecording(folder: string, run: VisitBundle['runs'][number], field: string) {
  const path = join(folder, run.file);
  // A link could lead anywhere; a bundle holds its recordings itself.
  const info = await lstat(path).catch(() => null);
  if (!info?.isFile()) throw new BundleError(path, `${field}.file`, message('bundle.noRecording'));
  const wav = await openWav(path).catch((cause: Error) => {
    throw new BundleError(path, `${field}.file`, toldOf(cause));
  });
  try {
    for (const [c, { channel }] of run.channels.entries()) {
      if (channel > wav.format.channels) {
        const problem = message('bundle.channelNotThere', {
          channel,
          file: run.file,
          channels: wav.format.channels,
        });
        throw new BundleError(path, `${field}.channels[${c}].channel`, problem);
      }
    }
    return { path, sampleRate_Hz: wav.format.sampleRate_Hz, frames: wav.frames };
  } finally {
    await wav.close();
  }
}
