import type { RoadDrive } from '../../seeds/road-drive/road-drive.ts';

/** Plain measurements for checking the simulator; on purpose none of the program's own signal processing. */

export const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
export const rms = (samples: Float32Array) =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

const CORNERS = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
type Corner = (typeof CORNERS)[number];

/** Turned angle in turns at every sample: the mean of the named wheels' true rates, summed up. */
export function shaftAngle(drive: RoadDrive, corners: readonly Corner[]): Float64Array {
  const angle = new Float64Array(drive.frames);
  const every = 16;
  let rate = 0;
  for (let i = 1; i < angle.length; i++) {
    if (i % every === 1) {
      const rates = drive.wheelRates((i + every / 2) / drive.sampleRate_Hz);
      rate = mean(corners.map((corner) => rates[CORNERS.indexOf(corner)]!));
    }
    angle[i] = angle[i - 1]! + rate / drive.sampleRate_Hz;
  }
  return angle;
}

/** Level of one order in dB re 1 (m/s²)², by a discrete Fourier sum over the shaft's angle, 20 turns at a time. */
export function orderLevel_dB(samples: Float32Array, angle: Float64Array, order: number): number {
  const powers: number[] = [];
  let [re, im, start] = [0, 0, 0];
  for (let i = 0; i < samples.length; i++) {
    const phase = 2 * Math.PI * order * angle[i]!;
    re += samples[i]! * Math.cos(phase);
    im += samples[i]! * Math.sin(phase);
    if (angle[i]! - angle[start]! < 20) continue;
    powers.push((2 * (re * re + im * im)) / (i - start + 1) ** 2);
    [re, im, start] = [0, 0, i + 1];
  }
  return 10 * Math.log10(mean(powers));
}

/** The strongest order of the squared second difference (which keeps the ringing and drops the rumble). */
export function envelopeLine(samples: Float32Array, angle: Float64Array, from: number, to: number) {
  const squared = new Float64Array(samples.length);
  for (let i = 1; i + 1 < samples.length; i++) {
    squared[i] = (samples[i + 1]! - 2 * samples[i]! + samples[i - 1]!) ** 2;
  }
  const middle = squared.reduce((a, b) => a + b, 0) / squared.length;
  const lines: { order: number; power: number }[] = [];
  for (let order = from; order <= to; order += 0.01) {
    let [re, im] = [0, 0];
    for (let i = 0; i < squared.length; i += 4) {
      const sum =
        squared[i]! + (squared[i + 1] ?? 0) + (squared[i + 2] ?? 0) + (squared[i + 3] ?? 0) - 4 * middle;
      const phase = 2 * Math.PI * order * angle[i]!;
      re += sum * Math.cos(phase);
      im += sum * Math.sin(phase);
    }
    lines.push({ order, power: re * re + im * im });
  }
  const best = lines.reduce((a, b) => (b.power > a.power ? b : a));
  const median = lines.map((line) => line.power).sort((a, b) => a - b)[Math.floor(lines.length / 2)]!;
  return { order: best.order, prominence_dB: 10 * Math.log10(best.power / median) };
}
