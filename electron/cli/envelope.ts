import type { Command } from 'commander';
import { openWav } from '../../native/wav/wav-reader.ts';
import { bearingRates } from '../../shared/driveline/bearing.ts';
import { DEFECTS, type Defect } from '../../shared/dsp/defect-evidence.ts';
import { findBearingDefects } from '../../shared/dsp/envelope-analysis.ts';
import { numberOption, wholeNumberOption } from './arguments.ts';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

/** More of a steady recording adds cost, not certainty. */
const LONGEST_S = 30;
/** With fewer turns the lines of the shaft and of the bearing cannot be told apart. */
const LEAST_TURNS = 20;

type EnvelopeOptions = { rpm: number; bearing?: number[]; orders?: number[]; channel: number; json?: true };

/** Four numbers in one argument. */
const fourNumbers =
  (name: string, meaning: string) =>
  (text: string): number[] => {
    const values = text.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
    if (values.length !== 4 || !values.every(Number.isFinite)) {
      throw new CliInputError(`--${name}: ${text} is not ${meaning}`);
    }
    return values;
  };

/** Defect rates in turns of the shaft, `element` as strikes. */
function multiples({ bearing, orders }: EnvelopeOptions): Record<Defect, number> {
  if ((bearing === undefined) === (orders === undefined)) {
    throw new CliInputError('give either --bearing or --orders');
  }
  if (orders) {
    const [outer, inner, spin, cage] = orders as [number, number, number, number];
    if (!orders.every((o) => o > 0 && o < 1000)) {
      throw new CliInputError(`--orders: ${orders.join(',')} must all lie above 0 and below 1000`);
    }
    return { outer, inner, element: 2 * spin, cage };
  }
  const [rollingElements, elementDiameter_mm, pitchDiameter_mm, contactAngle_deg] = bearing as [
    number,
    number,
    number,
    number,
  ];
  try {
    const rates = bearingRates({ rollingElements, elementDiameter_mm, pitchDiameter_mm, contactAngle_deg });
    return { outer: rates.outer, inner: rates.inner, element: rates.elementStrike, cage: rates.cage };
  } catch (cause) {
    throw new CliInputError(`--bearing: ${(cause as Error).message}`, { cause });
  }
}

async function readChannel(
  file: string,
  channel: number,
): Promise<{ samples: Float32Array; rate_Hz: number }> {
  const wav = await openWav(file);
  try {
    const { channels, sampleRate_Hz } = wav.format;
    if (channel > channels) {
      throw new CliInputError(
        `--channel: ${file} has ${channels} channel(s), there is no channel ${channel}`,
      );
    }
    const frames = Math.min(wav.frames, LONGEST_S * sampleRate_Hz);
    if (frames < wav.frames) print.log(`${file}: the first ${LONGEST_S} s are analysed.`);
    const all = Array.from({ length: channels }, () => new Float32Array(frames));
    const read = await wav.read(0, frames, all);
    return { samples: all[channel - 1]!.subarray(0, read), rate_Hz: sampleRate_Hz };
  } finally {
    await wav.close();
  }
}

export function registerEnvelope(program: Command): void {
  program
    .command('envelope')
    .description('look for the defect rates of a bearing in a recording at constant speed')
    .argument('<wav>', 'recording')
    .requiredOption('--rpm <n>', 'turns of the shaft in a minute', numberOption('rpm', 1, 200_000))
    .option(
      '--bearing <n,d,D,a>',
      'rolling elements, element and pitch diameter in mm, contact angle in degrees',
      fourNumbers('bearing', 'ELEMENTS,ELEMENT_MM,PITCH_MM,ANGLE_DEG'),
    )
    .option(
      '--orders <o,i,e,c>',
      'rates of outer ring, inner ring, element spin and cage in turns of the shaft',
      fourNumbers('orders', 'OUTER,INNER,ELEMENT_SPIN,CAGE'),
    )
    .option('--channel <k>', 'channel of the recording', wholeNumberOption('channel', 1, 32), 1)
    .option('--json', 'one JSON object on standard output')
    .action(async (file: string, options: EnvelopeOptions) => {
      const orders = multiples(options);
      const { samples, rate_Hz } = await readChannel(file, options.channel);
      const shaft = options.rpm / 60;
      const turns = (samples.length / rate_Hz) * shaft;
      if (turns < LEAST_TURNS) {
        throw new CliInputError(
          `${file}: ${turns.toFixed(1)} turns of the shaft are recorded, at least ${LEAST_TURNS} are needed`,
        );
      }
      const rates = {
        outer: orders.outer * shaft,
        inner: orders.inner * shaft,
        element: orders.element * shaft,
        cage: orders.cage * shaft,
      };
      const evidence = findIn(file, samples, rate_Hz, { rates, shaft });
      const defects = Object.fromEntries(
        DEFECTS.map((defect) => {
          const found = evidence.defects[defect];
          return [
            defect,
            {
              frequency_Hz: rates[defect],
              measured_Hz: found.measured,
              prominence_db: found.prominence_dB,
              harmonics: found.harmonics,
              detected: found.detected,
            },
          ];
        }),
      );
      if (options.json) return print.json({ band_Hz: evidence.band_Hz, defects });
      print.line(`Band ${evidence.band_Hz.map((f) => Math.round(f)).join(' to ')} Hz`);
      for (const defect of DEFECTS) {
        const { measured, prominence_dB, harmonics, detected } = evidence.defects[defect];
        print.line(
          `${defect}: ${detected ? 'defect' : 'nothing'} at ${rates[defect].toFixed(2)} Hz (strongest at ` +
            `${measured.toFixed(2)} Hz, ${prominence_dB.toFixed(1)} dB over the median, ${harmonics} harmonics)`,
        );
      }
    });
}

function findIn(file: string, ...rest: [Float32Array, number, Parameters<typeof findBearingDefects>[2]]) {
  try {
    return findBearingDefects(...rest);
  } catch (cause) {
    if (cause instanceof RangeError) throw new CliInputError(`${file}: ${cause.message}`, { cause });
    throw cause;
  }
}
