import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { Run, RunHistory, Vehicle, VehicleRow, Visit } from '../../shared/contract/garage.ts';
import type { LiveState, Orders } from '../../shared/contract/live.ts';
import type { Difference, VisitComparison } from '../../shared/contract/returning-car.ts';
import { POSITIONS } from '../../shared/driveline/words.ts';
import { message } from '../../shared/messages/message.ts';

/** An invented garage, small enough to read. */

export const LINES = [
  { part: 'wheel', label: 'wheel 1×', shaft: 'wheel', order: 1 },
  { part: 'wheel', label: 'wheel 2×', shaft: 'wheel', order: 2 },
  { part: 'wheel', label: 'wheel 3×', shaft: 'wheel', order: 3 },
  { part: 'propshaft', label: 'propshaft 1×', shaft: 'propshaft', order: 1 },
  { part: 'propshaft', label: 'propshaft 2×', shaft: 'propshaft', order: 2 },
  { part: 'differential-rear', label: 'ring gear mesh 1×', shaft: 'wheel', order: 41 },
  { part: 'differential-rear', label: 'ring gear mesh 2×', shaft: 'wheel', order: 82 },
  { part: 'engine', label: 'engine firing 1×', shaft: 'engine', order: 2 },
  { part: 'wheel-bearing', label: 'wheel bearing outer ring 1×', shaft: 'wheel', order: 5.16 },
  { part: 'wheel-bearing', label: 'wheel bearing inner ring 1×', shaft: 'wheel', order: 6.84 },
  { part: 'wheel-bearing', label: 'wheel bearing element 1×', shaft: 'wheel', order: 5.9 },
  { part: 'wheel-bearing', label: 'wheel bearing cage 1×', shaft: 'wheel', order: 0.43 },
] as const;

/** Orders of the wheel that the lines lie at, with an 11/41 final drive and an engine at 9.1 wheel turns. */
const AT_WHEEL = [1, 2, 3, 3.727, 7.455, 41, 82, 18.2, 5.16, 6.84, 5.9, 0.43];

export function channelsOf(count: number, fullScale_m_s2: number | null = 500): BundleChannel[] {
  return Array.from({ length: count }, (_, i) => ({
    channel: i + 1,
    role: 'vibration' as const,
    position: POSITIONS[i] ?? `place ${i + 1}`,
    fullScale_m_s2,
  }));
}

export const IDLE: LiveState = {
  phase: 'idle',
  source: null,
  visitId: null,
  vehicleLabel: null,
  channels: [],
  scale: 'absolute',
  heard: null,
  heardBefore: null,
  listening: { on: true, band: 'full', gain_db: 12, output: 'built-in', problem: null },
  meterBand: 'full',
  speed: { from: 'hand', km_h: null, engine_rpm: null, gearRatio: null, gearFrom: null, links: [] },
  drivingState: 'drive',
  recording: null,
  lostFrames: 0,
  problem: null,
};

/** A mean level per channel with the rear differential's left side the loudest, and a slow swell. */
export function levelAt(channel: number, seconds: number): number {
  const mean = channel === 7 ? 0.021 : 0.0015 * (1 + ((channel * 7) % 5));
  return mean * (1 + 0.25 * Math.sin(seconds * 1.3 + channel));
}

const lineAt = (line: number, channel: number, seconds: number) =>
  (levelAt(channel, seconds) * (line === 5 ? 0.5 : 0.12)) / (1 + ((line + channel) % 3));

export function spectrumOf(seconds: number, channel: number, times: number) {
  const rms = Array.from({ length: 1000 }, (_, bin) => {
    const order = bin * 0.1;
    const near = AT_WHEEL.findIndex((line) => Math.abs(line - order) < 0.06);
    const floor = 4e-6 * (1.2 + Math.sin(bin * 12.9898 + seconds) * Math.sin(bin * 0.37));
    return (near < 0 ? floor : lineAt(near, channel, seconds)) * times;
  });
  return { first: 0, step: 0.1, rms };
}

export function ordersAt(seconds: number, channels: readonly BundleChannel[], heard: number): Orders {
  return {
    at_s: seconds,
    shaft: 'wheel',
    shaftRate_Hz: 12.3,
    channel: heard,
    spectrum: spectrumOf(seconds, heard, 1),
    lines: LINES.map((line, i) => ({
      ...line,
      orderAtReference: AT_WHEEL[i]!,
      rms: channels.map((c) => (c.channel === 6 && i === 7 ? null : lineAt(i, c.channel, seconds))),
    })),
  };
}

export const VEHICLES: Vehicle[] = [
  {
    id: 1,
    plate: 'KL-204',
    vin: null,
    ownerNote: 'Hum since the winter tyres went on',
    createdAt: '2025-06-02T08:00:00+02:00',
    spec: {
      label: 'Estate, 2.0 diesel',
      odometer_km: 128_400,
      layout: 'rwd',
      rollingCircumference_m: 1.95,
      finalDrive: { front: null, rear: { ringTeeth: 41, pinionTeeth: 11 } },
      engine: { cylinders: 4 },
      electricDrive: false,
    },
  },
  {
    id: 2,
    plate: 'BR-881',
    vin: null,
    ownerNote: 'Whine when coasting',
    createdAt: '2025-09-14T09:00:00+02:00',
    spec: { label: 'Van, long wheelbase', odometer_km: 214_900, layout: 'rwd' },
  },
  {
    id: 3,
    plate: 'TE-17',
    vin: null,
    ownerNote: '',
    createdAt: '2025-11-01T09:00:00+01:00',
    spec: { label: 'Compact, electric', odometer_km: 41_250, layout: 'fwd', electricDrive: true },
  },
];

const SECONDS = 60;

function run(id: number, visitId: number, startedAt: string): Run {
  return {
    id,
    visitId,
    startedAt,
    file: `run-${id}.wav`,
    sampleRate_Hz: 48000,
    frames: SECONDS * 48000,
    state: 'complete',
    channels: channelsOf(8),
    segments: [
      { from_s: 0, to_s: 24, state: 'drive' },
      { from_s: 24, to_s: 40, state: 'coast' },
      { from_s: 40, to_s: 60, state: 'float' },
    ],
    orderLines: [...LINES],
    marks: [
      { at_s: 18.4, text: 'hum begins' },
      { at_s: 41, text: '' },
    ],
    gaps: [{ firstFrame: 52 * 48000, frames: 4800 }],
  };
}

export const VISITS: Visit[] = [
  {
    id: 11,
    vehicleId: 1,
    startedAt: '2025-06-02T09:10:00+02:00',
    odometer_km: 112_300,
    complaint: 'Light hum at 80 km/h',
    runs: [run(101, 11, '2025-06-02T09:20:00+02:00')],
  },
  {
    id: 12,
    vehicleId: 1,
    startedAt: '2026-06-09T14:00:00+02:00',
    odometer_km: 128_400,
    complaint: 'Hum has grown, from 60 km/h on',
    runs: [run(102, 12, '2026-06-09T14:20:00+02:00'), run(103, 12, '2026-06-09T14:48:00+02:00')],
  },
];

/** Two places that got louder, one that cannot be compared; the clearest difference first. */
export function comparisonOf(earlierVisitId: number, laterVisitId: number): VisitComparison {
  const difference = (position: string, label: string, difference_db: number): Difference => ({
    kind: 'orderLevel',
    part: 'final-drive-rear',
    label,
    position,
    state: 'drive',
    speedBand: { low_km_h: 60, high_km_h: 70 },
    earlier_db: 110,
    later_db: 110 + difference_db,
    difference_db,
    uncertainty_db: 1.5,
    change: 'louder',
    sentence: message('compare.louder', {
      figure: label,
      place: position,
      state: 'drive',
      low_km_h: 60,
      high_km_h: 70,
      since: VISITS[0]!.startedAt,
      difference_db,
      uncertainty_db: 1.5,
    }),
  });
  return {
    earlierVisitId,
    laterVisitId,
    summary: message('compare.counted', { changed: 3, all: 40, byChance: 2 }),
    differences: [
      difference('differential-rear-left', 'ring gear mesh 1×', 8),
      difference('differential-rear-left', 'ring gear mesh 2×', 5),
      difference('hub-rear-left', 'ring gear mesh 1×', 4),
    ],
    refused: [
      {
        positions: ['transmission'],
        reason: 'placement',
        sentence: message('compare.noPickup', { place: 'transmission', which: 'earlier' }),
      },
    ],
    ground: [],
  };
}

export function historyOf(of: Run): RunHistory {
  const second = Array.from({ length: SECONDS }, (_, i) => i);
  const grown = of.visitId === 12 ? 1 : 0.4;
  const level = (channel: number, s: number) => levelAt(channel, s) * grown * (0.6 + s / 100);
  return {
    run: of,
    second,
    speed_km_h: second.map((s) => (s === 30 ? null : 60 + Math.round(s / 2))),
    rms: of.channels.map((c) => second.map((s) => level(c.channel, s))),
    peak: of.channels.map((c) => second.map((s) => level(c.channel, s) * 4.2)),
    orders: LINES.map((_, line) =>
      of.channels.map((c) =>
        second.map((s) => (level(c.channel, s) * (line === 5 ? 0.5 : 0.1)) / (1 + (line % 3))),
      ),
    ),
  };
}

export const vehicleRow = (vehicle: Vehicle): VehicleRow => {
  const visits = VISITS.filter((visit) => visit.vehicleId === vehicle.id);
  const last = visits.at(-1);
  return {
    id: vehicle.id,
    label: vehicle.spec.label,
    plate: vehicle.plate,
    ownerNote: vehicle.ownerNote,
    odometer_km: vehicle.spec.odometer_km ?? null,
    visits: visits.length,
    lastVisitAt: last?.startedAt ?? null,
    lastComplaint: last?.complaint ?? null,
  };
};
