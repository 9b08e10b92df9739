import type { BundleChannel, BundleRun } from '../../shared/bundle/visit.ts';
import { Channel } from './channel.ts';
import { Drive } from './drive.ts';
import type { Excitation } from './force.ts';
import { type Node, positionsOf } from './hops.ts';
import { MixingMatrix } from './mixing.ts';
import { MotionIntegrator, SHAFTS, shaftRates } from './motion.ts';
import { mountingTransfer } from './mounting.ts';
import { multiply, Network } from './network.ts';
import { excitations } from './parts.ts';
import { Random } from './random.ts';
import { speedReadings } from './readings.ts';
import type { RunScenario, VisitScenario } from './scenario.ts';
import { Tacho } from './tacho.ts';

/** Impulse responses are kept for this long at least. */
const RESPONSE_S = 0.04;
const STEP_S = 1 / 750;
/** Full scales of usual pickups on usual interfaces, m/s². */
const FULL_SCALES_M_S2 = [200, 250, 400, 500];

/**
 * One run of a visit as a stream: channels in the order of the bundle's list, 1.0 being full scale. The same
 * scenario gives the same samples, whatever the sizes of the chunks asked for.
 *
 * @throws Error for a place that this vehicle does not have
 */
export class RoadDrive {
  readonly sampleRate_Hz: number;
  readonly channelCount: number;
  /** Length of the run in frames. */
  readonly frames: number;
  /** The run as the visit bundle describes it. */
  readonly run: BundleRun;
  private readonly vibrations: number;
  private readonly motion: MotionIntegrator;
  private readonly parts: Excitation[];
  private readonly forces: Map<Node, Float32Array>;
  private readonly mixing: MixingMatrix;
  private readonly channels: Channel[];
  private readonly tacho: Tacho | null;
  private readonly block: Float32Array[];
  private readonly drive: Drive;
  private readonly scenario: VisitScenario;
  private taken: number;
  private delivered = 0;

  constructor(scenario: VisitScenario, runIndex: number) {
    const run = scenario.runs[runIndex];
    if (!run) throw new Error(`The scenario has no run ${runIndex + 1}.`);
    const { vehicle, sampleRate_Hz } = scenario;
    const random = (what: string) => new Random(scenario.visitSeed, 'run', runIndex, what);
    this.scenario = scenario;
    this.sampleRate_Hz = sampleRate_Hz;
    this.vibrations = run.placement.length;
    this.channelCount = run.placement.length + (run.tacho ? 1 : 0);
    this.drive = new Drive(run.drive, random('driver'));
    this.frames = Math.round(this.drive.duration_s * sampleRate_Hz);

    const taps = 2 ** Math.ceil(Math.log2(RESPONSE_S * sampleRate_Hz));
    const hop = 2 ** Math.round(Math.log2(STEP_S * sampleRate_Hz));
    this.motion = new MotionIntegrator(vehicle, this.drive, sampleRate_Hz, hop);
    this.parts = excitations(scenario, runIndex, this.drive.duration_s);
    const nodes = [...new Set(this.parts.flatMap((part) => part.nodes))];
    this.mixing = mixingMatrix(scenario, runIndex, run, taps, nodes);
    const blockFrames = this.mixing.blockFrames;
    this.forces = new Map(nodes.map((node) => [node, new Float32Array(blockFrames)]));
    this.block = Array.from({ length: this.channelCount }, () => new Float32Array(blockFrames));
    this.taken = blockFrames;

    const fullScales = run.placement.map((_, i) =>
      new Random(scenario.visitSeed, 'pickup', i).pick(FULL_SCALES_M_S2),
    );
    this.channels = fullScales.map(
      (fullScale, i) =>
        new Channel(random(`channel ${i}`), fullScale, sampleRate_Hz, run.badChannels[i] ?? null),
    );
    this.tacho = run.tacho ? new Tacho(run.tacho, vehicle, random('tacho')) : null;
    this.run = {
      file: `run-${runIndex + 1}.wav`,
      startedAt: new Date(Date.parse(scenario.startedAt) + runIndex * 25 * 60_000).toISOString(),
      channels: channelList(run, fullScales),
      speed: run.readings ? speedReadings(run.readings, vehicle, this.drive, random('readings')) : null,
      segments: this.drive
        .segments(random('marks'))
        .map((segment) => (scenario.known.gearRatio ? segment : { ...segment, gearRatio: null })),
    };
  }

  get duration_s(): number {
    return this.frames / this.sampleRate_Hz;
  }

  /** The next `frames` frames of every channel; fewer at the end of the run, none after it. */
  render(frames: number): Float32Array[] {
    const wanted = Math.min(frames, this.frames - this.delivered);
    const out = this.block.map(() => new Float32Array(wanted));
    for (let filled = 0; filled < wanted; ) {
      if (this.taken === this.mixing.blockFrames) this.nextBlock();
      const count = Math.min(wanted - filled, this.mixing.blockFrames - this.taken);
      for (let c = 0; c < out.length; c++) {
        out[c]!.set(this.block[c]!.subarray(this.taken, this.taken + count), filled);
      }
      filled += count;
      this.taken += count;
    }
    this.delivered += wanted;
    return out;
  }

  /** True turning rates of the four wheels in Hz (front left, front right, rear left, rear right) at a time. */
  wheelRates(t_s: number): [number, number, number, number] {
    const rates = new Float64Array(SHAFTS.length);
    shaftRates(this.scenario.vehicle, this.drive, t_s, rates);
    return [rates[0]!, rates[1]!, rates[2]!, rates[3]!];
  }

  private nextBlock(): void {
    const { blockFrames } = this.mixing;
    const motion = this.motion.next(blockFrames);
    for (const force of this.forces.values()) force.fill(0);
    for (const part of this.parts) part.addTo(this.forces, motion);
    this.mixing.process([...this.forces.values()], this.block.slice(0, this.vibrations));
    for (let c = 0; c < this.vibrations; c++) this.channels[c]!.record(this.block[c]!, blockFrames);
    this.tacho?.render(this.block[this.vibrations]!, motion);
    this.taken = 0;
  }
}

function mixingMatrix(
  scenario: VisitScenario,
  runIndex: number,
  run: RunScenario,
  taps: number,
  nodes: readonly Node[],
): MixingMatrix {
  const { vehicle, sampleRate_Hz } = scenario;
  const bins = taps / 2 + 1;
  const network = new Network(vehicle, scenario.seed, sampleRate_Hz, bins, scenario.physics);
  const missing = run.placement.find((position) => !network.has(position));
  if (missing !== undefined) {
    throw new Error(
      `${vehicle.label} (${vehicle.layout}) has no place '${missing}'; it has ${positionsOf(vehicle).join(', ')}.`,
    );
  }
  const mountings = run.placement.map((position, i) =>
    mountingTransfer(new Random(scenario.visitSeed, 'mount', runIndex, i, position), sampleRate_Hz, bins),
  );
  const transfers = nodes.map((node) => {
    const paths = network.from(node, run.placement);
    return run.placement.map((position, i) => {
      const transfer = new Float64Array(2 * bins);
      multiply(paths.get(position)!, mountings[i]!, transfer);
      return transfer;
    });
  });
  return new MixingMatrix(transfers, taps);
}

function channelList(run: RunScenario, fullScales: readonly number[]): BundleChannel[] {
  const channels: BundleChannel[] = run.placement.map((position, i) => ({
    channel: i + 1,
    role: 'vibration',
    position,
    fullScale_m_s2: fullScales[i]!,
  }));
  if (run.tacho) {
    const { shaft, pulsesPerRev } = run.tacho;
    channels.push({ channel: channels.length + 1, role: 'tacho', shaft, pulsesPerRev });
  }
  return channels;
}
