import type { Vehicle, Visit } from '../../shared/contract/garage.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import {
  type AppEvent,
  REQUESTS,
  type Reply,
  type RequestInput,
  type RequestName,
  type Transport,
} from '../../shared/contract/requests.ts';
import { messageIn } from '../../shared/messages/as-text.ts';
import { message } from '../../shared/messages/message.ts';
import { fakeWork } from './fake-work.ts';
import * as fixtures from './fixtures.ts';

/** A main side that lives in the page: it answers every request from fixtures and plays live levels. */
export interface FakeMain extends Transport {
  /** Every request in the order it came. */
  readonly calls: { name: RequestName; input: unknown }[];
  /** Requests that are refused with a sentence, by name. */
  readonly refuse: Partial<Record<RequestName, { message: string; field?: string }>>;
  /** Changes the live state as the main side would, and tells it. */
  setLive(change: Partial<LiveState>): void;
  emit(event: AppEvent): void;
  /** The pickup beside which the technician was asked to tap has answered. */
  answerTap(visitId: number, channel: number): void;
}

/** Only what the screens of this folder ask; another screen brings its own fake. */
type Answers = { [N in RequestName]?: (input: RequestInput<N>) => unknown };

export function createFakeMain(deviceChannels = 8): FakeMain {
  const listeners = new Set<(event: AppEvent) => void>();
  const calls: FakeMain['calls'] = [];
  const refuse: FakeMain['refuse'] = {};
  const vehicles: Vehicle[] = structuredClone(fixtures.VEHICLES);
  const visits: Visit[] = structuredClone(fixtures.VISITS);
  let live: LiveState = structuredClone(fixtures.IDLE);
  let opened_ms = 0;
  let from_s = 0;
  const hold: number[] = [];

  const emit = (event: AppEvent) => {
    for (const listener of listeners) listener(event);
  };
  const setLive = (change: Partial<LiveState>) => {
    live = { ...live, ...change };
    emit({ name: 'live.state', payload: structuredClone(live) });
  };
  const hear = (channel: number) => {
    if (channel !== live.heard) setLive({ heard: channel, heardBefore: live.heard });
  };
  const allRuns = () => visits.flatMap((visit) => visit.runs);

  const beat = () => {
    if (!live.source) return;
    const at_s = from_s + (performance.now() - opened_ms) / 1000;
    const rms = live.channels.map((c) => fixtures.levelAt(c.channel, at_s));
    live.channels.forEach((c, i) => {
      hold[i] = Math.max(hold[i] ?? 0, fixtures.levelAt(c.channel, at_s) * 5);
    });
    emit({
      name: 'live.levels',
      payload: {
        frame: Math.round(at_s * 48000),
        at_s,
        speed_km_h: live.speed.km_h,
        rms,
        peak: rms.map((r) => r * 3.6),
        peakHold: hold.slice(0, rms.length),
        crest: rms.map(() => 3.6),
        faults: live.channels.map((c) => (c.channel === 5 ? ['clipped'] : [])),
      },
    });
  };
  const slowBeat = () => {
    if (!live.source || live.heard === null) return;
    const seconds = (performance.now() - opened_ms) / 1000;
    const payload = fixtures.ordersAt(seconds, live.channels, live.heard);
    if (live.speed.km_h === null) {
      payload.spectrum.rms = [];
      for (const line of payload.lines) line.rms = line.rms.map(() => null);
    }
    emit({ name: 'live.orders', payload });
  };
  setInterval(beat, 33);
  setInterval(slowBeat, 250);
  setInterval(() => {
    if (live.recording) setLive({ recording: { ...live.recording, seconds: live.recording.seconds + 1 } });
  }, 1000);

  const open = (state: Partial<LiveState>) => {
    opened_ms = performance.now();
    hold.length = 0;
    setLive({ ...fixtures.IDLE, listening: live.listening, phase: 'watching', ...state });
    return null;
  };

  const work = fakeWork(vehicles, emit);
  const answers: Answers = {
    ...work.answers,
    'findings.get': () => null,
    'folders.canChoose': () => false,
    'vehicles.search': ({ text }) =>
      vehicles
        .map(fixtures.vehicleRow)
        .filter((row) => JSON.stringify(row).toLowerCase().includes(text.toLowerCase())),
    'vehicles.page': ({ vehicleId }) => ({
      vehicle: vehicles.find((v) => v.id === vehicleId)!,
      visits: visits
        .filter((v) => v.vehicleId === vehicleId)
        .reverse()
        .map((v) => ({
          id: v.id,
          startedAt: v.startedAt,
          odometer_km: v.odometer_km,
          complaint: v.complaint,
          runs: v.runs.length,
          seconds: v.runs.length * 60,
          loudest:
            v.runs.length > 0
              ? { position: 'differential-rear-left', rms_m_s2: v.id === 12 ? 14.2 : 5.9 }
              : null,
        })),
    }),
    'vehicles.add': (vehicle) => {
      const added: Vehicle = { ...vehicle, id: vehicles.length + 1, createdAt: '2026-06-10T08:00:00+02:00' };
      vehicles.push(added);
      return added;
    },
    'vehicles.change': ({ vehicleId, vehicle }) => {
      const at = vehicles.findIndex((v) => v.id === vehicleId);
      vehicles[at] = { ...vehicles[at]!, ...vehicle };
      return vehicles[at];
    },
    'garage.addDemo': () => ({ returningVehicleId: 1 }),
    'visits.start': (visit) => {
      const started: Visit = { ...visit, id: 10 + visits.length + 1, runs: [] };
      visits.push(started);
      return started;
    },
    'visits.get': ({ visitId }) => visits.find((v) => v.id === visitId),
    'visits.compare': ({ earlierVisitId, laterVisitId }) =>
      fixtures.comparisonOf(earlierVisitId, laterVisitId),
    'runs.history': ({ runId }) => fixtures.historyOf(allRuns().find((r) => r.id === runId)!),
    'runs.spectrum': ({ runId, channel, from_s: from }) => ({
      hertz: {
        first: 0,
        step: 2,
        rms: Array.from(
          { length: 1500 },
          (_, i) => 2e-5 / (1 + i / 90) + (Math.abs(i - 252) < 3 ? 2e-4 * channel : 0),
        ),
      },
      orders: {
        shaft: 'wheel',
        ...fixtures.spectrumOf(from, channel, runId === 101 ? 0.3 : 1),
      },
    }),

    'live.state': () => structuredClone(live),
    'live.devices': () => [
      {
        name: 'Field interface 8',
        hostApi: 'ALSA',
        inputChannels: deviceChannels,
        outputChannels: 2,
        defaultSampleRate_Hz: 48000,
        isDefaultInput: false,
        isDefaultOutput: false,
        inputRates_Hz: [44100, 48000, 96000],
      },
      {
        name: 'Built-in sound',
        hostApi: 'ALSA',
        inputChannels: 2,
        outputChannels: 2,
        defaultSampleRate_Hz: 44100,
        isDefaultInput: true,
        isDefaultOutput: true,
        inputRates_Hz: null,
      },
    ],
    'live.open': ({ source, channels, visitId }) => {
      from_s = source.kind === 'run' ? source.from_s : 0;
      const vehicleLabel = 'Estate, 2.0 diesel';
      if (source.kind === 'device')
        return open({
          source: { kind: 'device', name: source.name, sampleRate_Hz: source.sampleRate_Hz },
          visitId,
          vehicleLabel: visitId === null ? null : vehicleLabel,
          channels,
          scale: channels.every((c) => c.role === 'tacho' || c.fullScale_m_s2) ? 'absolute' : 'relative',
          heard: channels[0]?.channel ?? null,
        });
      if (source.kind === 'demo')
        return open({
          source: { kind: 'demo', name: 'demo drive', sampleRate_Hz: 48000 },
          channels: fixtures.channelsOf(8),
          heard: 1,
          speed: {
            from: 'readings',
            km_h: 87,
            engine_rpm: null,
            gearRatio: 0.82,
            gearFrom: 'hand',
            links: [],
          },
        });
      const runId = source.kind === 'pair' ? source.later.runId : 'runId' in source ? source.runId : null;
      const run = allRuns().find((r) => r.id === runId)!;
      return open({
        phase: 'playing',
        source: { kind: 'run', name: run.file, sampleRate_Hz: run.sampleRate_Hz },
        visitId: run.visitId,
        vehicleLabel,
        channels: run.channels,
        heard: live.heard ?? 1,
        speed: { from: 'readings', km_h: 80, engine_rpm: null, gearRatio: null, gearFrom: null, links: [] },
      });
    },
    'live.close': () => {
      setLive({ ...fixtures.IDLE, listening: live.listening });
      return null;
    },
    'live.setChannels': ({ channels }) => {
      setLive({ channels });
      return null;
    },
    'live.hear': (input) => {
      if ('channel' in input) hear(input.channel);
      else {
        const at = live.channels.findIndex((c) => c.channel === live.heard) + input.step;
        const count = live.channels.length;
        if (count > 0) hear(live.channels[(at + count) % count]!.channel);
      }
      return null;
    },
    'live.hearPrevious': () => {
      if (live.heardBefore !== null) hear(live.heardBefore);
      return null;
    },
    'live.listen': (change) => {
      setLive({ listening: { ...live.listening, ...(change as Partial<LiveState['listening']>) } });
      return null;
    },
    'live.meterBand': ({ band }) => {
      setLive({ meterBand: band });
      return null;
    },
    'live.resetPeaks': () => {
      hold.fill(0);
      return null;
    },
    'live.speed': (input) => {
      const km_h =
        'km_h' in input ? input.km_h : Math.max(0, Math.min(400, (live.speed.km_h ?? 0) + input.nudge_km_h));
      setLive({ speed: { ...live.speed, from: 'hand', km_h } });
      return null;
    },
    'live.gearRatio': ({ gearRatio }) => {
      setLive({ speed: { ...live.speed, gearRatio } });
      return null;
    },
    'live.drivingState': ({ state }) => {
      setLive({ drivingState: state });
      return null;
    },
    'speed.ports': () => [{ path: '/dev/ttyUSB0', label: 'usb-receiver' }],
    'speed.open': ({ kind, port }) => {
      const link = { kind, port, problem: null, km_h: 63.4, engine_rpm: kind === 'bus' ? 1726 : null };
      setLive({ speed: { ...live.speed, links: [...live.speed.links, link] } });
      return null;
    },
    'speed.close': ({ kind }) => {
      setLive({ speed: { ...live.speed, links: live.speed.links.filter((link) => link.kind !== kind) } });
      return null;
    },
    'live.record': ({ on }) => {
      const recording = on
        ? { runId: 900, startedAt: '2026-06-10T08:00:00+02:00', seconds: 0, marks: 0, freeBytes: 4e10 }
        : null;
      setLive({ phase: on ? 'recording' : 'watching', recording });
      return null;
    },
    'live.mark': () => {
      if (live.recording) setLive({ recording: { ...live.recording, marks: live.recording.marks + 1 } });
      return null;
    },
  };

  return {
    calls,
    refuse,
    setLive,
    emit,
    answerTap: work.answerTap,
    async request(name, input): Promise<Reply> {
      calls.push({ name, input });
      const refused = refuse[name];
      if (refused) {
        const { message: text, ...at } = refused;
        return { ok: false, told: message('written', { text }), ...at };
      }
      const fits = REQUESTS[name].input.safeParse(input);
      if (!fits.success) {
        const { path, message: text } = fits.error.issues[0]!;
        return { ok: false, told: messageIn(text), field: path.join('.') };
      }
      const answer = answers[name] as ((input: unknown) => unknown) | undefined;
      if (!answer)
        return {
          ok: false,
          told: message('written', { text: `The fake main side has no answer to ${name}.` }),
        };
      return { ok: true, value: answer(input) };
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
