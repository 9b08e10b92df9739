import type { App } from '../../electron/service/app.ts';
import {
  type AppEvent,
  type EventPayload,
  REQUESTS,
  type RequestInput,
  type RequestName,
} from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';

/**
 * A main side with a level generator and nothing behind it, for the tests of what carries the contract: the
 * shell and the loopback host. It remembers every request that reached it.
 */
export interface FakeApp extends App {
  readonly calls: { name: string; input: unknown }[];
  emit(event: AppEvent): void;
  /** Frames since the start: goes on whatever happens to a screen. */
  readonly frame: () => number;
  readonly subscribers: () => number;
}

const state: EventPayload<'live.state'> = {
  phase: 'watching',
  source: { kind: 'demo', name: 'demo drive', sampleRate_Hz: 48000 },
  visitId: null,
  vehicleLabel: null,
  channels: [
    { channel: 1, role: 'vibration', position: 'hub-front-left', fullScale_m_s2: 500 },
    { channel: 2, role: 'vibration', position: 'hub-front-right', fullScale_m_s2: 500 },
  ],
  scale: 'absolute',
  heard: 1,
  heardBefore: null,
  listening: { on: false, band: 'full', gain_db: 0, output: null, problem: null },
  meterBand: 'full',
  speed: { from: 'hand', km_h: null, engine_rpm: null, gearRatio: null, gearFrom: null, links: [] },
  drivingState: 'drive',
  recording: null,
  lostFrames: 0,
  problem: null,
};

export function fakeApp(levelsEvery_ms = 33): FakeApp {
  const calls: FakeApp['calls'] = [];
  const listeners = new Set<(event: AppEvent) => void>();
  const emit = (event: AppEvent): void => {
    for (const listener of listeners) listener(event);
  };
  let heard = 1;
  let frame = 0;
  const levels = setInterval(() => {
    frame += 1600;
    const rms = [0.1 + 0.05 * Math.sin(frame / 9600), 0.02];
    emit({
      name: 'live.levels',
      payload: {
        frame,
        at_s: frame / 48000,
        speed_km_h: null,
        rms,
        peak: rms,
        peakHold: rms,
        crest: [1, 1],
        faults: [[], []],
      },
    });
  }, levelsEvery_ms);

  return {
    calls,
    emit,
    frame: () => frame,
    subscribers: () => listeners.size,
    handle: async (name, input) => {
      calls.push({ name, input });
      if (!Object.hasOwn(REQUESTS, name)) return { ok: false, told: message('error.noRequest', { name }) };
      const parsed = REQUESTS[name as RequestName].input.safeParse(input);
      if (!parsed.success) return { ok: false, told: message('written', { text: 'bad input' }) };
      if (name === 'live.state') return { ok: true, value: { ...state, heard } };
      if (name === 'live.hear') {
        const wish = parsed.data as RequestInput<'live.hear'>;
        heard = 'channel' in wish ? wish.channel : heard + wish.step;
        emit({ name: 'live.state', payload: { ...state, heard } });
      }
      return { ok: true, value: name.startsWith('vehicles') ? [] : null };
    },
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    close: async () => {
      clearInterval(levels);
    },
  };
}
