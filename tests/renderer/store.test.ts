import { beforeEach, expect, test, vi } from 'vitest';
import { createAppStore } from '../../renderer/store/store.ts';
import { createClient } from '../../renderer/transport/client.ts';
import type { AppEvent, Reply, RequestName, Transport } from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { channelsOf, IDLE, VEHICLES, vehicleRow } from './fixtures.ts';

/** A transport whose answers the test gives by hand. */
function handTransport() {
  const open: { name: RequestName; input: unknown; answer(reply: Reply): void }[] = [];
  const listeners = new Set<(event: AppEvent) => void>();
  const transport: Transport = {
    request: (name, input) => new Promise((answer) => open.push({ name, input, answer })),
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  return {
    transport,
    open,
    emit(event: AppEvent) {
      for (const listener of listeners) listener(event);
    },
  };
}

/** What the browser keeps between two starts, with a count of its writes. */
function memory() {
  const kept = new Map<string, string>();
  return {
    kept,
    getItem: (name: string) => kept.get(name) ?? null,
    removeItem: (name: string) => void kept.delete(name),
    setItem: vi.fn((name: string, value: string) => void kept.set(name, value)),
  };
}

function setUp(storage = memory()) {
  const hand = handTransport();
  const store = createAppStore(createClient(hand.transport), storage);
  store.getState().follow({
    ...hand.transport,
    onStatus(listener) {
      listener('open');
      return () => {};
    },
  });
  return { ...hand, store, storage };
}

const rows = VEHICLES.map(vehicleRow);
beforeEach(() => void vi.spyOn(console, 'error').mockImplementation(() => {}));

test('the live state is asked for when the connection opens, and follows its events', async () => {
  const { store, open, emit } = setUp();
  expect(open.map((r) => r.name)).toEqual(['live.state']);
  open[0]!.answer({ ok: true, value: IDLE });
  await vi.waitFor(() => expect(store.getState().live).toEqual(IDLE));
  emit({ name: 'live.state', payload: { ...IDLE, drivingState: 'coast' } });
  expect(store.getState().live?.drivingState).toBe('coast');
});

test('levels reach their listeners without touching the state that React watches', () => {
  const { store, emit } = setUp();
  const changes = vi.fn();
  const heard = vi.fn();
  emit({ name: 'live.state', payload: { ...IDLE, channels: channelsOf(1) } });
  store.subscribe(changes);
  store.getState().levels.subscribe(heard);
  const payload = {
    frame: 1,
    at_s: 0,
    speed_km_h: null,
    rms: [0.1],
    peak: [0.2],
    peakHold: [0.2],
    crest: [2],
    faults: [[]],
  };
  emit({ name: 'live.levels', payload });
  expect(heard).toHaveBeenCalledOnce();
  expect(store.getState().levels.latest()).toEqual(payload);
  expect(changes).not.toHaveBeenCalled();
});

test('levels of a closed source, or in another order of channels, are forgotten', () => {
  const { store, emit } = setUp();
  const open = {
    ...IDLE,
    phase: 'watching',
    source: { kind: 'demo', name: 'demo', sampleRate_Hz: 48000 },
  } as const;
  emit({ name: 'live.state', payload: { ...open, channels: channelsOf(1) } });
  emit({
    name: 'live.levels',
    payload: {
      frame: 1,
      at_s: 0,
      speed_km_h: null,
      rms: [0.1],
      peak: [0.2],
      peakHold: [0.2],
      crest: [2],
      faults: [[]],
    },
  });
  expect(store.getState().levels.latest()).not.toBeNull();
  emit({ name: 'live.state', payload: { ...open, channels: channelsOf(2) } });
  expect(store.getState().levels.latest()).toBeNull();
  emit({ name: 'live.state', payload: IDLE });
  expect(store.getState().levels.latest()).toBeNull();
});

test('a late answer to an older search does not overwrite the newer one', async () => {
  const { store, open } = setUp();
  void store.getState().search('e');
  void store.getState().search('es');
  const [older, newer] = open.filter((r) => r.name === 'vehicles.search');
  newer!.answer({ ok: true, value: [rows[0]] });
  await vi.waitFor(() => expect(store.getState().vehicles).toEqual([rows[0]]));
  older!.answer({ ok: true, value: rows });
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(store.getState().vehicles).toEqual([rows[0]]);
});

test('a refused command becomes one sentence, shown once however often it comes', async () => {
  const { store, open } = setUp();
  const text = 'A mark belongs to a recording; start one first.';
  for (let i = 0; i < 3; i++) {
    void store.getState().command('live.mark', { text: '' });
    open.at(-1)!.answer({ ok: false, told: message('written', { text }) });
  }
  await vi.waitFor(() => expect(store.getState().notices.map((n) => english(n.told))).toEqual([text]));
  store.getState().dismiss(store.getState().notices[0]!.id);
  expect(store.getState().notices).toEqual([]);
});

test('a source that does not open says why and opens nothing', async () => {
  const { store, open } = setUp();
  const opened = store.getState().openLive({ source: { kind: 'demo' }, visitId: null, channels: [] });
  open.at(-1)!.answer({
    ok: false,
    told: message('written', { text: 'The interface is in use; close the other program.' }),
  });
  expect(await opened).toBeNull();
  expect(
    store
      .getState()
      .notices.map((n) => english(n.told))
      .join(),
  ).toContain('in use');
});

test('a refusal of a form goes to the form with its field', async () => {
  const { store, open } = setUp();
  const { id, createdAt, ...vehicle } = VEHICLES[0]!;
  const added = store.getState().addVehicle(vehicle);
  open
    .at(-1)!
    .answer({ ok: false, told: message('written', { text: 'This plate is taken.' }), field: 'plate' });
  await expect(added).rejects.toMatchObject({
    told: message('written', { text: 'This plate is taken.' }),
    field: 'plate',
  });
  expect(store.getState().notices).toEqual([]);
});

test('an answer that does not fit the contract never reaches a screen', async () => {
  const { store, open } = setUp();
  const page = store.getState().loadVehicle(1);
  open.at(-1)!.answer({ ok: true, value: { vehicle: { id: 'one' }, visits: [] } });
  await page;
  expect(store.getState().vehiclePage).toBeNull();
  expect(store.getState().notices).toHaveLength(1);
});

test('an event that does not fit the contract is dropped', () => {
  const { store, emit } = setUp();
  emit({ name: 'live.state', payload: { ...IDLE, phase: 'flying' } } as unknown as AppEvent);
  expect(store.getState().live).toBeNull();
  expect(console.error).toHaveBeenCalled();
});

test('the rig and the colours outlive a restart; owner data is not kept in the screen', async () => {
  const first = setUp();
  first.store.getState().flipTheme();
  first.store.getState().place(3, 'transfer-case');
  void first.store.getState().search('hum');
  first.open.at(-1)!.answer({ ok: true, value: rows });
  await vi.waitFor(() => expect(first.store.getState().vehicles).toHaveLength(3));
  const again = setUp(first.storage).store.getState();
  expect(again.theme).toBe('night');
  expect(again.rig.channels[2]!.position).toBe('transfer-case');
  expect(again.vehicles).toBeNull();
  expect([...first.storage.kept.values()].join()).not.toContain(VEHICLES[0]!.plate);
});

test('events do not write to the disk', () => {
  const { emit, storage } = setUp();
  emit({ name: 'live.state', payload: IDLE });
  const before = storage.setItem.mock.calls.length;
  for (let i = 0; i < 50; i++) emit({ name: 'live.state', payload: { ...IDLE, lostFrames: i } });
  expect(storage.setItem.mock.calls.length).toBe(before);
});

test('a pickup put on a taken place takes the other one off', () => {
  const { store } = setUp();
  const at = (channel: number) => store.getState().rig.channels[channel - 1]!.position;
  store.getState().place(1, 'transmission');
  store.getState().place(2, 'transmission');
  expect([at(1), at(2)]).toEqual(['', 'transmission']);
  store
    .getState()
    .setPlacement(channelsOf(2).map((c, i) => ({ channel: i + 1, position: String(c.position) })));
  expect([at(1), at(2), at(3)]).toEqual(['hub-front-left', 'hub-front-right', '']);
});
