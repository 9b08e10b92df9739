import { expect, test } from 'vitest';
import { faultsOf } from '../../db/backup.ts';
import { vehicleWear } from '../../electron/returning/vehicle-wear.ts';
import { demoRecording, seedDemoGarage } from '../../seeds/garage/demo-garage.ts';
import { seedLargeGarage } from '../../seeds/garage/large-garage.ts';
import { MeasureOfVisitSchema, type RunHistory, RunHistorySchema } from '../../shared/contract/garage.ts';
import { english } from '../../shared/messages/tell.ts';
import { newGarage } from '../db/temporary.ts';

/** Mean of a line's level at a position in one state and speed band, m/s². */
function lineLevel(history: RunHistory, label: string, position: string): number {
  const { run } = history;
  const line = run.orderLines.findIndex((l) => l.label === label);
  const c = run.channels.findIndex(
    (channel) => channel.role === 'vibration' && channel.position === position,
  );
  const channel = run.channels[c]!;
  const fullScale = channel.role === 'vibration' ? channel.fullScale_m_s2! : 0;
  const values = history.second.flatMap((second, i) => {
    const state = run.segments.find((s) => s.from_s <= second && second + 1 <= s.to_s)?.state;
    const speed = history.speed_km_h[i] ?? 0;
    return state === 'drive' && speed > 58 && speed < 76 ? [history.orders[line]![c]![i]! * fullScale] : [];
  });
  expect(values.length).toBeGreaterThan(5);
  return values.reduce((a, b) => a + b) / values.length;
}

test('in the demo garage one car comes back after a year with its noise grown', () => {
  const garage = newGarage();
  const { returningVehicleId } = seedDemoGarage(garage);
  expect(faultsOf(garage.db)).toEqual([]);

  const { visits } = garage.vehicles.page(returningVehicleId);
  expect(visits).toHaveLength(2);
  const [later, earlier] = visits.map((v) => garage.runs.history(garage.visits.get(v.id).runs[0]!.id));
  const days = (Date.parse(visits[0]!.startedAt) - Date.parse(visits[1]!.startedAt)) / 86_400_000;
  expect(days).toBeGreaterThan(360);
  expect(days).toBeLessThan(370);
  expect(visits[0]!.odometer_km!).toBeGreaterThan(visits[1]!.odometer_km!);

  const growth_dB = (label: string, position: string) =>
    20 * Math.log10(lineLevel(later!, label, position) / lineLevel(earlier!, label, position));
  const sides = ['left', 'right'].map((side) => growth_dB('ring gear mesh 1×', `differential-rear-${side}`));
  const others = ['left', 'right'].map((side) => Math.abs(growth_dB('wheel 1×', `hub-front-${side}`)));
  // More than clamping the pickups anew explains, which moves every place by a decibel or two.
  expect((sides[0]! + sides[1]!) / 2).toBeGreaterThan(Math.max(...others, 3));

  expect(garage.vehicles.search('')).toHaveLength(9);
  expect(garage.vehicles.search('demo estate')).toHaveLength(1);
});

test('every run of the demo garage has its drive, and what is told of it fits', () => {
  const garage = newGarage();
  seedDemoGarage(garage);
  const all = garage.vehicles
    .search('')
    .flatMap(({ id }) => garage.vehicles.page(id).visits)
    .flatMap(({ id }) => garage.visits.get(id).runs);
  // The van's recordings are gone: only what was measured in them is there.
  const runs = all.filter((run) => !run.file.startsWith('demo-watched'));
  expect(runs).toHaveLength(6);
  for (const run of runs) {
    const drive = demoRecording(run.file)!;
    expect(run).toMatchObject({ state: 'complete', frames: drive.frames, channels: drive.run.channels });
    expect(run.segments).toEqual(drive.run.segments);
    expect(garage.runs.speed(run.id).t_s).toEqual(drive.run.speed?.t_s ?? []);
    const history = garage.runs.history(run.id);
    expect(RunHistorySchema.parse(history)).toEqual(history);
    expect(history.second).toHaveLength(Math.floor(drive.frames / run.sampleRate_Hz));
  }
  expect(demoRecording('2026-03-01.wav')).toBeNull();
  expect(demoRecording('toString')).toBeNull();
});

test('in the demo garage a van is watched over six visits, and its known growth is found', () => {
  const garage = newGarage();
  seedDemoGarage(garage);
  const [van] = garage.vehicles.search('panel van 00731');
  const measures = garage.measures.ofVehicle(van!.id);
  expect(measures.map((m) => MeasureOfVisitSchema.parse(m))).toEqual(measures);
  const { answer, shown } = vehicleWear(garage, van!.id, null, 0, '2026-06-01');
  expect(answer.verdict).toBe('gettingWorse');
  expect(english(answer.worse)).toContain('Ring gear mesh 1×');
  const trend = shown!.againstOdometer;
  if (trend.kind !== 'fitted') throw new Error(english(trend.sentence));
  expect(trend.growth.low).toBeLessThan(1.1);
  expect(trend.growth.high).toBeGreaterThan(1.1);
  expect(garage.outcomes.awaited().map((check) => check.vehicleId)).toEqual([van!.id]);
});

test('a garage is not filled with the demo twice', () => {
  const garage = newGarage();
  seedDemoGarage(garage);
  expect(() => seedDemoGarage(garage)).toThrow(/UNIQUE/);
  expect(garage.vehicles.search('')).toHaveLength(9);
});

test('the demo garage is the same every time', () => {
  const [a, b] = [newGarage(), newGarage()];
  expect(seedDemoGarage(a)).toEqual(seedDemoGarage(b));
  expect(a.vehicles.search('')).toEqual(b.vehicles.search(''));
  expect(a.runs.history(1)).toEqual(b.runs.history(1));
});

test('a large garage is sound, searchable, and the same for the same seed', () => {
  const size = { vehicles: 30, visitsPerVehicle: 4 };
  const [a, b, c] = [newGarage(), newGarage(), newGarage()];
  seedLargeGarage(a, { ...size, seed: 1 });
  seedLargeGarage(b, { ...size, seed: 1 });
  seedLargeGarage(c, { ...size, seed: 2 });
  expect(faultsOf(a.db)).toEqual([]);

  const page = a.vehicles.page(17);
  expect(page.visits).toHaveLength(4);
  expect(page.visits[0]).toMatchObject({ runs: 1, seconds: 30 });
  const measures = a.measures.ofVehicle(17);
  expect(measures).toHaveLength(4 * 2 * 6);
  expect(measures.map((m) => MeasureOfVisitSchema.parse(m))).toEqual(measures);
  expect(a.vehicles.search(page.vehicle.plate).map((row) => row.id)).toEqual([17]);
  expect(a.vehicles.search(page.visits[0]!.complaint).length).toBeGreaterThan(0);

  expect(b.measures.ofVehicle(17)).toEqual(measures);
  expect(c.measures.ofVehicle(17)).not.toEqual(measures);
  a.close();
  expect(newGarage(a.path).vehicles.search('')).toHaveLength(30);
});
