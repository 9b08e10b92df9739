import { describe, expect, it } from 'vitest';
import { LivePipeline } from '../../electron/live/live-pipeline.ts';
import { SpeedInput } from '../../electron/live/speed-input.ts';
import type { BundleChannel, VehicleSpec } from '../../shared/bundle/visit.ts';
import type { RunSecond } from '../../shared/contract/garage.ts';
import type { Band, Levels, Orders } from '../../shared/contract/live.ts';
import { fullScaleLevelDb } from '../../shared/dsp/levels.ts';

const RATE = 48_000;
const BLOCK = 960;

const vehicle: VehicleSpec = {
  label: 'test car',
  layout: 'rwd',
  rollingCircumference_m: 2,
  finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
};
const pickup = (channel: number): BundleChannel => ({
  channel,
  role: 'vibration',
  position: `place ${channel}`,
});

/** Feeds signals given as functions of time, one per channel, and collects what comes out. */
function watch(
  signals: readonly ((t: number) => number)[],
  seconds: number,
  options: { channels?: BundleChannel[]; speed?: SpeedInput; band?: Band; rate?: number } = {},
) {
  const rate = options.rate ?? RATE;
  const levels: Levels[] = [];
  const orders: Orders[] = [];
  const kept: Omit<RunSecond, 'second'>[] = [];
  const pipeline = new LivePipeline({
    sampleRate_Hz: rate,
    channels: options.channels ?? signals.map((_, i) => pickup(i + 1)),
    vehicle,
    gearRatio: null,
    band: options.band ?? 'full',
    startsAt_s: 0,
    speed: options.speed ?? new SpeedInput(),
    heard: () => 1,
    onLevels: (message) => levels.push(message),
    onOrders: (message) => orders.push(message),
    onSecond: (second) => kept.push(second),
  });
  for (let first = 0; first < seconds * rate; first += BLOCK) {
    const channels = signals.map((signal) =>
      Float32Array.from({ length: BLOCK }, (_, i) => signal((first + i) / rate)),
    );
    pipeline.feed(
      { firstFrame: first, frames: BLOCK, gapFrames: 0, channels, receivedAt_s: first / rate },
      first / rate,
    );
  }
  return { levels, orders, seconds: kept, last: levels.at(-1)! };
}

const sine =
  (f: number, amplitude = 1) =>
  (t: number) =>
    amplitude * Math.sin(2 * Math.PI * f * t);

describe('levels', () => {
  it('reads a full-scale sine as -3.01 dB re full scale, crest factor 1.414', () => {
    // AES17-2020 aside, the figure follows from the sine itself: RMS = peak / √2, 20 lg(1/√2) = -3.0103 dB.
    const { last } = watch([sine(1000, 0.99)], 3);
    expect(fullScaleLevelDb(last.rms[0]! / 0.99)).toBeCloseTo(-3.0103, 2);
    expect(last.crest[0]).toBeCloseTo(Math.SQRT2, 2);
    expect(last.peak[0]).toBeCloseTo(0.99, 2);
  });

  it('follows a step with time weighting F: 125 ms to 1 - 1/e of the mean square (IEC 61672-1)', () => {
    const { levels } = watch([(t) => (t < 1 ? 0 : sine(1000, 0.5)(t))], 3);
    const steady = levels.at(-1)!.rms[0]! ** 2;
    const after = levels.find((l) => l.at_s >= 1.125)!;
    const expected = 1 - Math.exp(-(after.at_s - 1) / 0.125);
    expect(after.rms[0]! ** 2 / steady).toBeCloseTo(expected, 1);
  });

  it('holds the highest peak and shows clipping, dead lead, offset and hum', () => {
    const noise = () => 0.2 * (Math.random() - 0.5);
    const { last } = watch(
      [
        (t) => Math.max(-1, Math.min(1, 1.5 * sine(200)(t))),
        () => 0,
        (t) => 0.05 + 0.1 * sine(300)(t),
        (t) => sine(50, 0.1)(t) + sine(150, 0.03)(t) + 0.05 * noise(),
        noise,
      ],
      6,
    );
    expect(last.faults).toEqual([['clipped'], ['dead'], ['offset'], ['hum'], []]);
    expect(last.peakHold[0]).toBeGreaterThanOrEqual(0.99);
  });

  it('keeps rumble out of the whine band and the other way round', () => {
    const rumble = watch([sine(100, 0.1), sine(2000, 0.1)], 3, { band: 'rumble' }).last;
    expect(rumble.rms[0]).toBeCloseTo(0.1 / Math.SQRT2, 2);
    expect(rumble.rms[1]).toBeLessThan(0.005);
  });

  it('publishes about 30 times a second and keeps every second over the full band', () => {
    const { levels, seconds } = watch([sine(100, 0.1)], 4, { band: 'whine' });
    expect(levels.length).toBeGreaterThan(4 * 24);
    expect(seconds).toHaveLength(4);
    expect(seconds[2]!.rms[0]).toBeCloseTo(0.1 / Math.SQRT2, 3);
  });
});

describe('orders', () => {
  const wheel_Hz = 100 / 3.6 / 2;

  it('finds the ring gear mesh at the hand-set speed', () => {
    const speed = new SpeedInput();
    speed.set(100);
    const { orders } = watch([sine(41 * wheel_Hz, 0.2), sine(3 * wheel_Hz, 0.1)], 4, { speed });
    const line = (label: string) => orders.at(-1)!.lines.find((l) => l.label === label)!;
    expect(line('ring gear mesh 1×').rms[0]).toBeCloseTo(0.2 / Math.SQRT2, 2);
    expect(line('ring gear mesh 1×').rms[1]).toBeLessThan(0.002);
    expect(line('wheel 3×').rms[1]).toBeCloseTo(0.1 / Math.SQRT2, 2);
    expect(orders.length).toBeGreaterThanOrEqual(10);
    const { first, step, rms } = orders.at(-1)!.spectrum;
    const loudest = rms.indexOf(Math.max(...rms));
    expect(first + loudest * step).toBeCloseTo(41, 0);
  });

  it('follows a mesh through a changing speed with a tacho (computed order tracking)', () => {
    // From 60 to 120 km/h in 8 s: the mesh sweeps over 340 Hz, which a fixed-rate spectrum would smear.
    const turns = (t: number) => (60 / 3.6 / 2) * t + ((60 / 3.6 / 2) * t * t) / 16;
    const mesh = (t: number) => 0.2 * Math.sin(2 * Math.PI * 41 * turns(t));
    const tacho = (t: number) => ((turns(t) * 2) % 1 < 0.5 ? 0.5 : -0.5);
    const { orders, last } = watch([mesh, tacho], 8, {
      channels: [pickup(1), { channel: 2, role: 'tacho', shaft: 'wheel-rear-left', pulsesPerRev: 2 }],
    });
    const line = orders.at(-1)!.lines.find((l) => l.label === 'ring gear mesh 1×')!;
    expect(20 * Math.log10(line.rms[0]! / (0.2 / Math.SQRT2))).toBeCloseTo(0, 0);
    expect(last.speed_km_h).toBeGreaterThan(115);
    expect(last.speed_km_h).toBeLessThan(122);
  });

  it('says nothing without a speed', () => {
    const { orders } = watch([sine(100)], 2);
    expect(orders.at(-1)!.spectrum.rms).toEqual([]);
    expect(orders.at(-1)!.lines.every((l) => l.rms.every((v) => v === null))).toBe(true);
  });
});
