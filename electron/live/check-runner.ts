import type { Block } from '../../native/capture/capture-source.ts';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { CheckResult, CheckState, StartCheck } from '../../shared/contract/visit-work.ts';
import { message } from '../../shared/messages/message.ts';
import { CalibrationCheck } from './checks/calibration-check.ts';
import type { Check, CheckSetting } from './checks/check.ts';
import { LeadCheck } from './checks/lead-check.ts';
import { NoiseFloorCheck } from './checks/noise-floor-check.ts';
import { PolarityCheck } from './checks/polarity-check.ts';
import { TapCheck } from './checks/tap-check.ts';
import { type BlockWatcher, LiveError } from './live-session.ts';

/** The live session as far as a check needs it. */
export interface CheckedSession {
  state(): Pick<LiveState, 'source' | 'channels'>;
  watch(watcher: BlockWatcher): () => void;
}

export interface CheckRunnerEdges {
  readonly live: CheckedSession;
  /** Keeps a result with its visit. */
  keep(visitId: number, at: string, result: CheckResult): void;
  publish(event: AppEvent): void;
  /** What was not meant for the technician. */
  report(error: unknown): void;
}

const STATES_PER_S = 5;
const IDLE: CheckState = { running: null, channel: null, progress: null, text: null };

type VibrationChannel = Extract<BundleChannel, { role: 'vibration' }>;

interface Running {
  readonly request: StartCheck;
  readonly visitId: number | null;
  readonly check: Check;
  readonly channels: readonly VibrationChannel[];
  readonly samples: Float32Array[];
  readonly everyFrames: number;
  sinceState: number;
  unwatch: () => void;
}

/** Runs one check of the rigging at a time on the open source. */
export class CheckRunner {
  readonly #edges: CheckRunnerEdges;
  #running: Running | null = null;

  constructor(edges: CheckRunnerEdges) {
    this.#edges = edges;
  }

  state(): CheckState {
    const running = this.#running;
    if (!running) return IDLE;
    const { request, check } = running;
    return {
      running: request.check,
      channel: 'channel' in request ? request.channel : null,
      ...check.state(),
    };
  }

  /** A check that still runs is given up for the new one. */
  start(visitId: number | null, request: StartCheck): void {
    const { source, channels: all } = this.#edges.live.state();
    if (!source) throw new LiveError(message('error.checkNeedsSource'));
    const channels = all.filter((c): c is VibrationChannel => c.role === 'vibration');
    if (channels.length === 0) throw new LiveError(message('error.checkNeedsPickup'));
    if ('channel' in request && !channels.some((c) => c.channel === request.channel)) {
      throw new LiveError(message('error.noPickupOn', { channel: request.channel }));
    }
    this.#end();
    const { sampleRate_Hz } = source;
    const running: Running = {
      request,
      visitId,
      check: checkFor(request, { sampleRate_Hz, channels }),
      channels,
      samples: new Array<Float32Array>(channels.length),
      everyFrames: sampleRate_Hz / STATES_PER_S,
      sinceState: 0,
      unwatch: () => {},
    };
    running.unwatch = this.#edges.live.watch({
      onBlock: (block) => this.#feed(running, block),
      onChanged: () => {
        if (this.#running === running) this.stop();
      },
    });
    this.#running = running;
    this.#tell();
  }

  stop(): void {
    if (!this.#running) return;
    this.#end();
    this.#tell();
  }

  #feed(running: Running, block: Block): void {
    if (this.#running !== running) return;
    for (const [i, { channel }] of running.channels.entries()) {
      running.samples[i] = block.channels[channel - 1]!;
    }
    try {
      const result = running.check.feed(running.samples, block.frames);
      if (result) {
        this.#finish(running, result);
        return;
      }
    } catch (cause) {
      // What the check cannot understand must not disturb meters and recording.
      this.#edges.report(cause);
      this.stop();
      return;
    }
    running.sinceState += block.frames;
    if (running.sinceState >= running.everyFrames) {
      running.sinceState = 0;
      this.#tell();
    }
  }

  #finish({ visitId }: Running, result: CheckResult): void {
    const at = new Date().toISOString();
    this.#end();
    if (visitId !== null) this.#edges.keep(visitId, at, result);
    this.#tell();
    this.#edges.publish({ name: 'checks.result', payload: { visitId, check: { at, result } } });
  }

  #end(): void {
    this.#running?.unwatch();
    this.#running = null;
  }

  #tell(): void {
    this.#edges.publish({ name: 'checks.state', payload: this.state() });
  }
}

function checkFor(request: StartCheck, setting: CheckSetting): Check {
  switch (request.check) {
    case 'tap':
      return new TapCheck(setting, request.channel);
    case 'noiseFloor':
      return new NoiseFloorCheck(setting);
    case 'lead':
      return new LeadCheck(setting);
    case 'polarity':
      return new PolarityCheck(setting, request.channel);
    case 'calibration':
      return new CalibrationCheck(setting, request.channel, request.reference_m_s2);
  }
}
