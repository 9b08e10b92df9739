import { LivePipeline } from '../../electron/live/live-pipeline.ts';
import { SpeedInput } from '../../electron/live/speed-input.ts';
import type { BundleChannel, VehicleSpec } from '../../shared/bundle/visit.ts';

const BLOCK_S = 0.01;
const VEHICLE: VehicleSpec = {
  label: 'bench',
  layout: 'rwd',
  rollingCircumference_m: 2,
  finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
  engine: { cylinders: 4 },
};

interface Stream {
  readonly channels: number;
  readonly sampleRate_Hz: number;
}

/** The live pipeline with noise on every channel; `feed` gives it the next block. */
function pipelineWithNoise({ channels, sampleRate_Hz }: Stream, onLevels: () => void) {
  const speed = new SpeedInput();
  speed.set(100);
  const list: BundleChannel[] = Array.from({ length: channels }, (_, i) => ({
    channel: i + 1,
    role: 'vibration',
    position: `place ${i + 1}`,
  }));
  const pipeline = new LivePipeline({
    sampleRate_Hz,
    channels: list,
    vehicle: VEHICLE,
    gearRatio: 1,
    // Not the full band: that would spare the second filter.
    band: 'rumble',
    startsAt_s: 0,
    speed,
    heard: () => 1,
    onLevels,
    onOrders: () => {},
    onSecond: () => {},
  });
  const frames = Math.round(BLOCK_S * sampleRate_Hz);
  const samples = list.map(() => Float32Array.from({ length: frames }, () => Math.random() - 0.5));
  let firstFrame = 0;
  return () => {
    const now_s = firstFrame / sampleRate_Hz;
    pipeline.feed({ firstFrame, frames, gapFrames: 0, channels: samples, receivedAt_s: now_s }, now_s);
    firstFrame += frames;
  };
}

/** CPU seconds of this process per second of stream: a share of one core that a busy machine does not falsify. */
function load(
  stream: Stream,
  seconds: number,
): { coreShare: number; timesRealTime: number; longestBlock_ms: number } {
  const feed = pipelineWithNoise(stream, () => {});
  const blocks = Math.round(seconds / BLOCK_S);
  for (let i = 0; i < blocks / 4; i++) feed();
  let longest = 0;
  const before = process.cpuUsage();
  for (let i = 0; i < blocks; i++) {
    const start = performance.now();
    feed();
    longest = Math.max(longest, performance.now() - start);
  }
  const used = process.cpuUsage(before);
  const coreShare = (used.user + used.system) / 1e6 / seconds;
  return { coreShare, timesRealTime: 1 / coreShare, longestBlock_ms: longest };
}

/** Time from the arrival of a block to the levels that include it, in real time. */
async function latency(stream: Stream, seconds: number): Promise<{ median_ms: number; p99_ms: number }> {
  let waiting: number[] = [];
  const took: number[] = [];
  const feed = pipelineWithNoise(stream, () => {
    const now = performance.now();
    for (const arrived of waiting) took.push(now - arrived);
    waiting = [];
  });
  const start = performance.now();
  for (let block = 1; block <= seconds / BLOCK_S; block++) {
    const due = start + block * BLOCK_S * 1000;
    await new Promise((resolve) => setTimeout(resolve, Math.max(0, due - performance.now())));
    waiting.push(performance.now());
    feed();
  }
  took.sort((a, b) => a - b);
  return { median_ms: took[took.length >> 1]!, p99_ms: took[Math.floor(took.length * 0.99)]! };
}

/** Figures of the live pipeline: share of one core, head room, and block to published level. */
export async function benchLive(seconds: number) {
  const eight = { channels: 8, sampleRate_Hz: 48_000 };
  const many = { channels: 32, sampleRate_Hz: 96_000 };
  return {
    eightChannels48k: load(eight, seconds),
    thirtyTwoChannels96k: load(many, seconds),
    blockToPublishedLevel: await latency(eight, seconds),
  };
}
