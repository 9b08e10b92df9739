import { describe, expect, test, vi } from 'vitest';
import { placeLevels, runsOf } from '../../renderer/screens/findings/place-levels.ts';
import { withPlaces } from '../../renderer/screens/findings/use-proposal.ts';
import { createAppStore } from '../../renderer/store/store.ts';
import { createClient } from '../../renderer/transport/client.ts';
import type { KeptFindings } from '../../shared/contract/findings-requests.ts';
import type { AppEvent, Reply, RequestName } from '../../shared/contract/requests.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { message } from '../../shared/messages/message.ts';

const NO_STORAGE = { getItem: () => null, setItem: () => {}, removeItem: () => {} };
const place = (channel: number, position: string, run = 1) => ({ run, channel, position });
const heardAt = (channel: number, position: string, level_db: number, heard = true) => ({
  ...place(channel, position),
  level_db,
  heard,
});
const FINDINGS: Findings = {
  verdict: 'narrowed',
  sources: [{ source: 'differential-rear', probability: 1, evidence: [] }],
  nextPlacement: [],
  channels: [
    { ...place(1, 'hub-rear-left'), rms_m_s2: 1, faults: [] },
    { ...place(2, 'hub-rear-right'), rms_m_s2: 10, faults: ['offset'] },
    { ...place(3, 'engine-mount'), rms_m_s2: 0.5, faults: ['hum'] },
    { ...place(1, 'transmission', 2), rms_m_s2: null, faults: [] },
  ],
  speedCorrection: null,
  summary: message('summary.likely', {
    part: 'differential-rear',
    probability: 0.98,
    why: message('rule.noPickupOnPart', { part: 'differential-rear' }),
  }),
  notices: [],
  convincing: {
    kind: 'orders',
    order: 41,
    band_Hz: null,
    loud: place(1, 'hub-rear-left'),
    quiet: place(2, 'hub-rear-right'),
    levels: [heardAt(1, 'hub-rear-left', 18), heardAt(2, 'hub-rear-right', -6, false)],
  },
  spectra: [],
  lines: [],
};

describe('levels on the vehicle', () => {
  test('what convinced, the loudest largest, with the channel that was left out', () => {
    expect(placeLevels(FINDINGS, 'evidence', 1)).toEqual([
      { ...place(1, 'hub-rear-left'), level_db: 18, heard: true, size: 1 },
      { ...place(2, 'hub-rear-right'), level_db: -6, heard: false, size: 0 },
      { ...place(3, 'engine-mount'), level_db: null, heard: false, size: 0 },
    ]);
  });

  test('overall levels are dB re 1e-6 m/s² (ISO 1683): 1 m/s² is 120 dB', () => {
    const [left, right] = placeLevels(FINDINGS, 'overall', 1);
    expect(left!.level_db).toBeCloseTo(120, 9);
    expect(right!.level_db).toBeCloseTo(140, 9);
    expect(right!.size - left!.size).toBeCloseTo(1, 9);
  });

  test('levels that differ by less than a placement does are drawn nearly alike', () => {
    const levels = [heardAt(1, 'hub-rear-left', 10), heardAt(2, 'hub-rear-right', 9)];
    const alike = { ...FINDINGS, convincing: { ...FINDINGS.convincing!, levels } };
    const [a, b] = placeLevels(alike, 'evidence', 1);
    expect(a!.size - b!.size).toBeLessThan(0.1);
  });

  test('another run has its own; without sensitivity it has no overall level', () => {
    expect(runsOf(FINDINGS)).toEqual([1, 2]);
    expect(placeLevels(FINDINGS, 'evidence', 2)).toEqual([]);
    expect(placeLevels(FINDINGS, 'overall', 2)).toEqual([]);
  });
});

test('the pickups go on the proposed places, the first on the first; a tacho stays where it is', () => {
  const rig = createAppStore({ call: vi.fn(), subscribe: () => () => {} }, NO_STORAGE).getState().rig;
  const channels = rig.channels.map((c) => ({
    ...c,
    use: c.channel === 2 ? ('tacho' as const) : c.use,
    position: 'engine-mount',
  }));
  const proposed = ['hub-rear-left', 'transmission'].map((position) => ({
    position,
    gain_bits: 1,
    why: message('next.onTheWay', { place: position }),
  }));
  const placed = withPlaces({ ...rig, channels, source: 'demo' }, proposed);
  expect(placed.source).toBe('device');
  expect(placed.channels.filter((c) => c.position !== '').map((c) => [c.channel, c.position])).toEqual([
    [1, 'hub-rear-left'],
    [3, 'transmission'],
  ]);
});

describe('findings in the store', () => {
  function setUp() {
    const open: { name: RequestName; input: unknown; answer(reply: Reply): void }[] = [];
    const listeners = new Set<(event: AppEvent) => void>();
    const store = createAppStore(
      createClient({
        request: (name, input) => new Promise((answer) => open.push({ name, input, answer })),
        subscribe: (listener) => {
          listeners.add(listener);
          return () => listeners.delete(listener);
        },
      }),
      NO_STORAGE,
    );
    /** Answers the open request of that name. */
    const answer = async (name: RequestName, value: unknown) => {
      const at = () => open.findIndex((r) => r.name === name);
      await vi.waitFor(() => expect(at()).toBeGreaterThanOrEqual(0));
      open.splice(at(), 1)[0]!.answer({ ok: true, value });
    };
    return { store, open, answer };
  }
  const kept = (visitId: number): KeptFindings => ({
    visitId,
    analysedAt: '2026-06-09T15:00:00Z',
    runIds: [7],
    outOfDate: null,
    findings: FINDINGS,
  });

  test('what is kept is shown, and nothing analysed', async () => {
    const { store, open, answer } = setUp();
    const opened = store.getState().openFindings(1);
    await answer('findings.get', kept(1));
    await opened;
    expect(store.getState().findings).toEqual(kept(1));
    expect(open).toEqual([]);
  });

  test('where nothing is kept the visit is analysed, with progress', async () => {
    const { store, answer } = setUp();
    const opened = store.getState().openFindings(1);
    await answer('findings.get', null);
    await vi.waitFor(() => expect(store.getState().analysis).toMatchObject({ visitId: 1, share: 0 }));
    store.getState().setAnalysis({ visitId: 1, doing: 'analysing', share: 0.5 });
    store.getState().setAnalysis({ visitId: 9, doing: 'analysing', share: 0.9 });
    expect(store.getState().analysis).toMatchObject({ visitId: 1, share: 0.5 });
    await answer('findings.analyse', kept(1));
    await opened;
    expect(store.getState()).toMatchObject({ findings: kept(1), analysis: null, findingsProblem: null });
  });

  test('an analysis that ends late does not show on another visit', async () => {
    const { store, answer } = setUp();
    const first = store.getState().openFindings(1);
    await answer('findings.get', null);
    await vi.waitFor(() => expect(store.getState().analysis?.visitId).toBe(1));
    const second = store.getState().openFindings(2);
    await answer('findings.get', kept(2));
    await second;
    await answer('findings.analyse', kept(1));
    await first;
    expect(store.getState().findings).toEqual(kept(2));
  });

  test('a cancelled analysis leaves what was there', async () => {
    const { store, answer } = setUp();
    const opened = store.getState().openFindings(1);
    await answer('findings.get', kept(1));
    await opened;
    const again = store.getState().analyse(1);
    await answer('findings.analyse', null);
    await again;
    expect(store.getState()).toMatchObject({ findings: kept(1), analysis: null });
  });
});
