import type { Block, CaptureEvent, CaptureListener } from '../../native/capture/capture-source.ts';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { OrderLine } from '../../shared/contract/garage.ts';
import type { Band, LiveState, OpenLive, SourceChoice } from '../../shared/contract/live.ts';
import type { AppEvent, RequestInput } from '../../shared/contract/requests.ts';
import type { LinkKind, SpeedLinkState } from '../../shared/contract/speed-requests.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { ToldError, toldOf } from '../../shared/messages/told-error.ts';
import type { Tone } from '../../shared/road-card/manoeuvre.ts';
import type { SpeedLinkReading } from '../../shared/speed/protocol.ts';
import { type Driving, RecordingInProgress, type StartedRun } from '../recording/recording-in-progress.ts';
import { GearInUse } from './gear-in-use.ts';
import { Listening, type OpenOutput } from './listening.ts';
import { LivePipeline } from './live-pipeline.ts';
import type { OpenedSource } from './opened-source.ts';
import { SpeedInput } from './speed-input.ts';

/** Where a new recording goes. */
export interface NewRecording {
  readonly startedAt: string;
  readonly path: string;
}

/** What a recording begins with. */
export interface RunStart extends NewRecording {
  readonly visitId: number | null;
  readonly source: OpenedSource;
  readonly channels: readonly BundleChannel[];
  readonly orderLines: readonly OrderLine[];
}

/** The edges of the session: everything that touches hardware, disk or database. */
export interface LiveEdges {
  openSource(
    choice: SourceChoice,
    channels: readonly BundleChannel[],
    visitId: number | null,
  ): Promise<OpenedSource>;
  readonly openOutput: OpenOutput;
  /** Also the moment to close runs of which only a fault has kept the end: none is being recorded. */
  newRecording(): Promise<NewRecording>;
  startRun(start: RunStart): StartedRun;
  vehicleLabel(visitId: number): string;
  freeBytes(): Promise<number | null>;
  publish(event: AppEvent): void;
  now_s(): number;
}

/** Somebody who looks at the stream beside meters and recorder, such as a check of the rigging. */
export interface BlockWatcher {
  /** Every block of the open source, after the meters have had it. */
  onBlock(block: Block): void;
  /** The source is closed, or its placements have changed. */
  onChanged(): void;
}

/** A sentence for the technician; the request that caused it is refused. */
export class LiveError extends ToldError {
  override readonly name = 'LiveError';
}

const FREE_SPACE_EVERY_S = 5;
/** About half an hour of eight channels at 48 kHz, and room for the database to finish its work. */
const LOW_SPACE_BYTES = 3e9;
const STOP_SPACE_BYTES = 200e6;

/**
 * The live session: one source at a time, watched, heard and, when asked, recorded. The stream drives everything;
 * what the technician asks for changes how the next block is treated. Nothing that goes wrong at an edge ends
 * more than that edge: a lost output does not disturb the recording, a full disk does not stop the meters.
 */
export class LiveSession {
  readonly #edges: LiveEdges;
  readonly #speed = new SpeedInput();
  #opened: OpenedSource | null = null;
  #pipeline: LivePipeline | null = null;
  readonly #listening: Listening;
  #recording: RecordingInProgress | null = null;
  #channels: BundleChannel[] = [];
  #visitId: number | null = null;
  #vehicleLabel: string | null = null;
  #heard: number | null = null;
  #heardBefore: number | null = null;
  #meterBand: Band = 'full';
  #keyedGear: number | null = null;
  #foundGear: number | null = null;
  #gearInUse = new GearInUse(null);
  #links: SpeedLinkState[] = [];
  #drivingState: DrivingState = 'drive';
  #lostFrames = 0;
  #problem: Message | null = null;
  #freeBytes: number | null = null;
  #spaceTimer: NodeJS.Timeout | null = null;
  readonly #watchers = new Set<BlockWatcher>();
  /** Opening, closing and recording take time; one after the other, never two at once. */
  #queue: Promise<unknown> = Promise.resolve();

  constructor(edges: LiveEdges) {
    this.#edges = edges;
    this.#listening = new Listening(edges.openOutput, () => this.#changed());
  }

  state(): LiveState {
    const speed = this.#speed.read(this.#edges.now_s());
    const recording = this.#recording;
    return {
      phase: !this.#opened
        ? 'idle'
        : recording
          ? 'recording'
          : this.#opened.kind === 'run'
            ? 'playing'
            : 'watching',
      source: this.#opened && {
        kind: this.#opened.kind,
        name: this.#opened.name,
        sampleRate_Hz: this.#opened.source.format.sampleRate_Hz,
      },
      visitId: this.#visitId,
      vehicleLabel: this.#vehicleLabel,
      channels: this.#channels,
      scale: this.#scale(),
      heard: this.#heard,
      heardBefore: this.#heardBefore,
      listening: { ...this.#listening.settings },
      meterBand: this.#meterBand,
      speed: {
        from: speed.from,
        km_h: speed.km_h,
        engine_rpm: this.#speed.engine_rpm(this.#edges.now_s()),
        gearRatio: this.#gearRatio,
        gearFrom: this.#keyedGear !== null ? 'hand' : this.#foundGear !== null ? 'speeds' : null,
        links: this.#links,
      },
      drivingState: this.#drivingState,
      recording: recording?.state(this.#freeBytes) ?? null,
      lostFrames: this.#lostFrames,
      problem: this.#problem,
    };
  }

  open(request: OpenLive): Promise<void> {
    return this.#inTurn(async () => {
      await this.#closeNow();
      const opened = await this.#edges.openSource(request.source, request.channels, request.visitId);
      this.#begin(opened, request.visitId);
      try {
        await opened.source.start(this.#listener(opened));
      } catch (cause) {
        await this.#closeNow();
        throw cause;
      }
      await this.#listening.openOutput();
      this.#changed();
    });
  }

  close(): Promise<void> {
    return this.#inTurn(async () => {
      await this.#closeNow();
      this.#changed();
    });
  }

  /** Placements may be put right while watching; a run keeps the ones that it began with. */
  setChannels(channels: readonly BundleChannel[]): void {
    const opened = this.#need();
    if (this.#recording) throw new LiveError(message('error.placementsRecording'));
    if (opened.kind === 'run') throw new LiveError(message('error.placementsRecorded'));
    this.#checkChannels(channels, opened.source.format.channels);
    this.#channels = [...channels];
    this.#rebuild(opened);
    this.#changed();
  }

  hear(choice: { channel: number } | { step: 1 | -1 }): void {
    const vibration = this.#channels.filter((c) => c.role === 'vibration').map((c) => c.channel);
    if (vibration.length === 0) return;
    let next: number;
    if ('channel' in choice) {
      if (!vibration.includes(choice.channel)) return;
      next = choice.channel;
    } else {
      const at = this.#heard === null ? -1 : vibration.indexOf(this.#heard);
      next = vibration[(at + choice.step + vibration.length) % vibration.length]!;
    }
    this.#hearNow(next);
  }

  /** Flips between the last two, which is how two places are compared by ear. */
  hearPrevious(): void {
    if (this.#heardBefore !== null) this.#hearNow(this.#heardBefore);
  }

  listen(change: RequestInput<'live.listen'>): Promise<void> {
    return this.#inTurn(async () => {
      await this.#listening.change(change);
      this.#changed();
    });
  }

  setMeterBand(band: Band): void {
    this.#meterBand = band;
    this.#pipeline?.meters.setBand(band);
    this.#changed();
  }

  resetPeaks(): void {
    this.#pipeline?.meters.resetPeaks();
  }

  setSpeed(change: { km_h: number | null } | { nudge_km_h: number }): void {
    if ('nudge_km_h' in change) this.#speed.nudge(change.nudge_km_h);
    else this.#speed.set(change.km_h);
    this.#changed();
  }

  /** A ratio that is keyed in stands until it is taken back; only then a found one is used. */
  setGearRatio(gearRatio: number | null): void {
    this.#keyedGear = gearRatio;
    this.#gearChanged();
  }

  /** What a speed link tells. A recorded run and the demo drive bring the speed that belongs to their samples. */
  takeSpeed(from: LinkKind, reading: SpeedLinkReading): void {
    if (this.#opened && this.#opened.kind !== 'device') return;
    const { at_s } = reading;
    if (reading.quantity === 'engine') {
      this.#speed.setEngine(reading.rpm, at_s);
      const road = this.#speed.read(at_s);
      if (road.from !== 'hand' && road.km_h !== null) this.#gearInUse.push(road.km_h, reading.rpm, at_s);
      this.#findGear();
      return;
    }
    this.#speed.setReading(from, reading.km_h, at_s);
    // Of two links, or with a tacho, only the speed that counts is the run's.
    if (this.#speed.read(at_s).from === from) this.#recording?.recorder.addSpeed(reading.km_h, at_s);
  }

  showSpeedLinks(links: SpeedLinkState[]): void {
    this.#links = links;
    this.#changed();
  }

  setDrivingState(state: DrivingState): void {
    this.#drivingState = state;
    this.#recording?.drivingChanged(this.#driving);
    this.#changed();
  }

  record(on: boolean): Promise<void> {
    return this.#inTurn(async () => {
      if (on) await this.#startRecording();
      else await this.#stopRecording();
      this.#changed();
    });
  }

  mark(text: string): void {
    const recording = this.#recording;
    if (!recording) throw new LiveError(message('error.markWithoutRecording'));
    recording.mark(text);
    this.#changed();
  }

  /** @returns ends the watching */
  watch(watcher: BlockWatcher): () => void {
    this.#watchers.add(watcher);
    return () => this.#watchers.delete(watcher);
  }

  /** Sounds a tone over what is heard; nothing without a listening output. */
  cue(tone: Tone): void {
    this.#listening.cue(tone);
  }

  #scale(): LiveState['scale'] {
    const vibration = this.#channels.filter((c) => c.role === 'vibration');
    const known = vibration.length > 0 && vibration.every((c) => c.fullScale_m_s2 != null);
    return known ? 'absolute' : 'relative';
  }

  #begin(opened: OpenedSource, visitId: number | null): void {
    this.#checkChannels(opened.channels, opened.source.format.channels);
    this.#opened = opened;
    this.#channels = [...opened.channels];
    this.#visitId = visitId;
    this.#vehicleLabel =
      visitId === null ? (opened.vehicle?.label ?? null) : this.#edges.vehicleLabel(visitId);
    this.#problem = null;
    this.#lostFrames = 0;
    this.#speed.clear();
    this.#gearInUse = new GearInUse(opened.vehicle);
    this.#foundGear = null;
    const vibration = this.#channels.filter((c) => c.role === 'vibration').map((c) => c.channel);
    if (this.#heard === null || !vibration.includes(this.#heard)) {
      this.#heard = vibration[0] ?? null;
      this.#heardBefore = null;
    }
    this.#rebuild(opened);
    this.#spaceTimer = setInterval(() => void this.#watchSpace(), FREE_SPACE_EVERY_S * 1000);
    this.#spaceTimer.unref();
  }

  /** Meters, order lines and mix follow from format, placements and vehicle. */
  #rebuild(opened: OpenedSource): void {
    const { sampleRate_Hz } = opened.source.format;
    this.#pipeline = new LivePipeline({
      sampleRate_Hz,
      channels: this.#channels,
      vehicle: opened.vehicle,
      gearRatio: this.#gearRatio,
      band: this.#meterBand,
      startsAt_s: opened.startsAt_s,
      speed: this.#speed,
      heard: () => this.#heard,
      onLevels: (levels) => this.#edges.publish({ name: 'live.levels', payload: levels }),
      onOrders: (orders) => this.#edges.publish({ name: 'live.orders', payload: orders }),
      onSecond: (second) => {
        this.#recording?.recorder.addSecond(second);
        this.#findGear();
        this.#changed();
      },
    });
    for (const watcher of [...this.#watchers]) watcher.onChanged();
    this.#listening.prepare(sampleRate_Hz, this.#channels, this.#heard);
  }

  #checkChannels(channels: readonly BundleChannel[], available: number): void {
    for (const { channel } of channels) {
      if (channel > available) {
        throw new LiveError(message('error.channelNotThere', { channel, available }));
      }
    }
  }

  #listener(opened: OpenedSource): CaptureListener {
    return {
      onBlock: (block) => {
        if (this.#opened !== opened) return;
        try {
          this.#feed(opened, block);
        } catch (cause) {
          this.#fail(message('error.streamUnclear', { why: toldOf(cause) }));
        }
      },
      onEvent: (event) => {
        if (this.#opened === opened) this.#onEvent(event);
      },
    };
  }

  #feed(opened: OpenedSource, block: Block): void {
    this.#lostFrames += block.gapFrames;
    const pipeline = this.#pipeline!;
    if (opened.speedAt) {
      const at_s = opened.startsAt_s + block.firstFrame / opened.source.format.sampleRate_Hz;
      this.#speed.setReading('readings', opened.speedAt(at_s), this.#edges.now_s());
    }
    this.#recording?.recorder.feed(block);
    pipeline.feed(block, this.#edges.now_s());
    this.#listening.feed(block);
    for (const watcher of this.#watchers) watcher.onBlock(block);
  }

  #onEvent(event: CaptureEvent): void {
    switch (event.kind) {
      case 'running':
        return;
      case 'lost':
        this.#problem = event.told;
        break;
      case 'resumed':
        this.#problem = null;
        break;
      case 'ended':
        void this.#inTurn(async () => {
          await this.#stopRecording();
          if (this.#opened?.kind !== 'run') this.#problem = message('error.sourceEnded');
          await this.#closeNow();
          this.#changed();
        });
        return;
    }
    this.#changed();
  }

  #hearNow(channel: number): void {
    if (channel === this.#heard) return;
    this.#heardBefore = this.#heard;
    this.#heard = channel;
    this.#listening.hear(channel);
    this.#changed();
  }

  async #startRecording(): Promise<void> {
    const opened = this.#need();
    if (this.#recording) return;
    if (opened.kind === 'run') throw new LiveError(message('error.isARecording'));
    this.#freeBytes = await this.#edges.freeBytes();
    if (this.#freeBytes !== null && this.#freeBytes < STOP_SPACE_BYTES) {
      throw new LiveError(message('error.diskFull'));
    }
    const place = await this.#edges.newRecording();
    const recording = await RecordingInProgress.start({
      path: place.path,
      format: opened.source.format,
      driving: this.#driving,
      startRun: () =>
        this.#edges.startRun({
          ...place,
          visitId: this.#visitId,
          source: opened,
          channels: this.#channels,
          orderLines: this.#pipeline!.orderLines,
        }),
      onFailed: (told) => this.#fail(told),
      onProblem: (told) => {
        this.#problem = told;
        this.#changed();
      },
    });
    this.#recording = recording;
    this.#visitId = recording.run.visitId;
    this.#vehicleLabel = recording.run.vehicleLabel;
    this.#pipeline!.startSeconds();
    const speed = this.#speed.read(this.#edges.now_s());
    if ((speed.from === 'satellite' || speed.from === 'bus') && speed.km_h !== null)
      recording.recorder.addSpeed(speed.km_h, this.#edges.now_s());
  }

  async #stopRecording(): Promise<void> {
    const recording = this.#recording;
    this.#recording = null;
    await recording?.stop();
  }

  get #driving(): Driving {
    return { state: this.#drivingState, gearRatio: this.#gearRatio };
  }

  get #gearRatio(): number | null {
    return this.#keyedGear ?? this.#foundGear;
  }

  /** The gear that engine and road speed show at this moment, to place the engine's lines and to keep with the run. */
  #findGear(): void {
    const found = this.#gearInUse.ratio(this.#edges.now_s());
    if (found === this.#foundGear) return;
    this.#foundGear = found;
    if (this.#keyedGear === null) this.#gearChanged();
  }

  #gearChanged(): void {
    this.#pipeline?.setGearRatio(this.#gearRatio);
    this.#recording?.drivingChanged(this.#driving);
    this.#changed();
  }

  async #closeNow(): Promise<void> {
    const opened = this.#opened;
    await this.#stopRecording();
    this.#opened = null;
    if (this.#spaceTimer) clearInterval(this.#spaceTimer);
    this.#spaceTimer = null;
    await opened?.source.stop();
    await this.#listening.close();
    this.#pipeline = null;
    this.#channels = [];
    for (const watcher of [...this.#watchers]) watcher.onChanged();
    this.#visitId = null;
    this.#vehicleLabel = null;
  }

  async #watchSpace(): Promise<void> {
    this.#freeBytes = await this.#edges.freeBytes();
    if (!this.#recording || this.#freeBytes === null) return;
    if (this.#freeBytes < STOP_SPACE_BYTES) {
      this.#fail(message('error.diskNearlyFull'));
    } else if (this.#freeBytes < LOW_SPACE_BYTES) {
      this.#problem = message('error.diskLow', { free_GB: this.#freeBytes / 1e9 });
      this.#changed();
    }
  }

  #fail(told: Message): void {
    if (this.#problem?.id === told.id) return;
    this.#problem = told;
    void this.record(false);
    this.#changed();
  }

  #need(): OpenedSource {
    if (!this.#opened) throw new LiveError(message('error.noSource'));
    return this.#opened;
  }

  #changed(): void {
    this.#edges.publish({ name: 'live.state', payload: this.state() });
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const result = this.#queue.then(work);
    this.#queue = result.catch(() => {});
    return result;
  }
}
