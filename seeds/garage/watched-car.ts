import type { Garage } from '../../db/open.ts';
import type { OrderSpectrumOfRun } from '../../db/order-spectra.ts';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { Measure } from '../../shared/contract/garage.ts';
import type { Outcome } from '../../shared/contract/returning-car.ts';
import { MEASURES_METHOD } from '../../shared/diagnosis/comparable-measures.ts';
import { Random } from '../road-drive/random.ts';

/**
 * An invented van that a shop has watched for years: six visits whose recordings are gone, but not their measures.
 * Its rear final drive grows louder; everything else stays as it was, apart from how the pickups were clamped.
 */

const SPEC = {
  label: 'white panel van',
  odometer_km: 61_300,
  layout: 'rwd' as const,
  rollingCircumference_m: 2.12,
  finalDrive: { front: null, rear: { ringTeeth: 43, pinionTeeth: 11 } },
  engine: { cylinders: 4 },
};
const MESH = 43;
const PROPSHAFT = 43 / 11;

interface VisitOfVan {
  readonly startedAt: string;
  readonly odometer_km: number;
  readonly complaint: string;
  readonly outcome: Outcome | null;
}

const watched = (note: string, nextCheckOn: string | null, nextCheckAt_km: number | null): Outcome => ({
  done: 'watched',
  source: 'differential-rear',
  note,
  nextCheckOn,
  nextCheckAt_km,
});

const VISITS: readonly VisitOfVan[] = [
  {
    startedAt: '2022-09-05T07:30:00.000Z',
    odometer_km: 61_300,
    complaint: 'First measured when it was new to the fleet; nothing to complain of.',
    outcome: null,
  },
  {
    startedAt: '2023-06-19T12:10:00.000Z',
    odometer_km: 83_900,
    complaint: 'Driver hears a faint whine at 75 when pulling.',
    outcome: watched('faint; no play, no debris', '2024-03-01', 105_000),
  },
  {
    startedAt: '2024-03-11T08:05:00.000Z',
    odometer_km: 104_200,
    complaint: 'Whine as before.',
    outcome: {
      done: 'serviced',
      source: 'differential-rear',
      note: 'fluid changed, fine grey paste on the magnet',
      nextCheckOn: '2024-12-01',
      nextCheckAt_km: 125_000,
    },
  },
  {
    startedAt: '2024-12-02T09:40:00.000Z',
    odometer_km: 126_800,
    complaint: 'A little louder, says the driver.',
    outcome: watched('paste only, no flakes', '2025-09-01', 148_000),
  },
  {
    startedAt: '2025-09-08T07:55:00.000Z',
    odometer_km: 147_500,
    complaint: 'Louder; loaded it is a nuisance.',
    outcome: watched('owner told what a rebuild would cost', '2026-05-01', 165_000),
  },
  {
    startedAt: '2026-05-04T08:20:00.000Z',
    odometer_km: 168_100,
    complaint: 'Whine now heard with the radio on.',
    outcome: watched('still paste only; rebuild planned for the winter', '2026-10-15', 180_000),
  },
];

/** dB per 10,000 km at the rear differential under power; the fault's answer to the state is the usual one. */
const GROWTH_DB = 1.1;
const CLAMPING_DB = 1.2;

const PLACES = [
  { position: 'differential-rear-left', mesh_m_s2: 0.9, growth: 1 },
  { position: 'differential-rear-right', mesh_m_s2: 0.75, growth: 1 },
  { position: 'hub-rear-left', mesh_m_s2: 0.3, growth: 0.8 },
  { position: 'hub-rear-right', mesh_m_s2: 0.26, growth: 0.8 },
];
const CELLS = [
  { state: 'drive' as const, speedBand: { low_km_h: 70, high_km_h: 80 }, answer: 1 },
  { state: 'coast' as const, speedBand: { low_km_h: 70, high_km_h: 80 }, answer: 0.4 },
];
const BANDS = [
  ['25-50 Hz', 0.5],
  ['50-100 Hz', 0.7],
  ['100-200 Hz', 0.9],
  ['200-400 Hz', 0.8],
  ['400-800 Hz', 1.1],
  ['800-1600 Hz', 0.9],
  ['1600-3200 Hz', 0.6],
] as const;
/** The octave in which the mesh lies at these speeds. */
const MESH_BAND = '400-800 Hz';
const FULL_SCALE_M_S2 = 250;

const amplitude = (db: number): number => 10 ** (db / 20);

export function seedWatchedCar(garage: Garage): void {
  const random = new Random(1, 'watched car');
  const vehicle = garage.vehicles.add(
    {
      plate: 'RP-V 00731',
      vin: null,
      ownerNote: 'delivery rounds, always loaded; comes with every second service',
      spec: SPEC,
    },
    VISITS[0]!.startedAt,
  );
  for (const [n, { outcome, ...visit }] of VISITS.entries()) {
    const { id: visitId } = garage.visits.start({ vehicleId: vehicle.id, ...visit });
    const channels: BundleChannel[] = PLACES.map(({ position }, i) => ({
      channel: i + 1,
      role: 'vibration',
      position,
      fullScale_m_s2: FULL_SCALE_M_S2,
      pickup: `pickup ${i + 1}`,
    }));
    const { id } = garage.runs.start({
      visitId,
      startedAt: visit.startedAt,
      file: `demo-watched-${n + 1}.wav`,
      sampleRate_Hz: 48_000,
      channels,
      orderLines: [],
    });
    const measures: Measure[] = [];
    const spectra: OrderSpectrumOfRun[] = [];
    for (const [i, place] of PLACES.entries()) {
      const clamped = amplitude(random.normal(0, CLAMPING_DB));
      for (const cell of CELLS) {
        const grown = amplitude((place.growth * GROWTH_DB * (visit.odometer_km - SPEC.odometer_km)) / 10_000);
        const mesh = place.mesh_m_s2 * cell.answer * grown * clamped;
        measures.push(...measuresAt(random, i + 1, cell, clamped, mesh));
        spectra.push({ channel: i + 1, ...placeOf(cell), ...spectrumAt(random, clamped, mesh) });
      }
    }
    garage.runs.finish(id, 0);
    garage.measures.replaceOfRun(id, measures);
    garage.orderSpectra.replaceOfRun(id, spectra);
    garage.measures.markMeasured(id, MEASURES_METHOD);
    garage.outcomes.set(visitId, outcome);
  }
}

type Cell = (typeof CELLS)[number];
const placeOf = ({ state, speedBand }: Cell) => ({ state, speedBand });

function measuresAt(random: Random, channel: number, cell: Cell, clamped: number, mesh: number): Measure[] {
  const figure = (
    kind: Measure['kind'],
    part: string,
    label: string,
    unit: string,
    value: number,
    spread: number,
  ) => ({
    channel,
    kind,
    part,
    label,
    unit,
    method: MEASURES_METHOD,
    ...placeOf(cell),
    value,
    spread,
    repeats: 4,
  });
  const level = (kind: Measure['kind'], part: string, label: string, value: number) => {
    const scattered = value * random.spread(0.6);
    return figure(kind, part, label, 'm/s²', scattered, 0.12 * scattered);
  };
  const line = (part: string, label: string, value: number) => level('orderLevel', part, label, value);
  return [
    line('wheel', 'wheel 1×', 0.05 * clamped),
    line('wheel', 'wheel 2×', 0.03 * clamped),
    line('wheel', 'wheel 3×', 0.02 * clamped),
    line('propshaft', 'propshaft 1×', 0.04 * clamped),
    line('propshaft', 'propshaft 2×', 0.06 * clamped),
    line('differential-rear', 'ring gear mesh 1×', mesh),
    line('differential-rear', 'ring gear mesh 2×', 0.35 * mesh),
    ...BANDS.map(([label, value]) =>
      level(
        'bandLevel',
        'place',
        label,
        label === MESH_BAND ? Math.hypot(value * clamped, mesh) : value * clamped,
      ),
    ),
  ];
}

const STEP = 1 / 16;
const BINS = 1601;

/** A line two bins wide to either side, as a Hann window leaves it. */
const LOBE = [0.08, 0.5, 1, 0.5, 0.08];

function spectrumAt(random: Random, clamped: number, mesh: number): { step: number; rms: Float32Array } {
  const rms = Float32Array.from({ length: BINS }, (_, k) => {
    const order = k * STEP;
    return (clamped * 0.02 * random.spread(1.5)) / (1 + Math.abs(order - 12) / 20);
  });
  const lines = [
    [1, 0.05 * clamped],
    [2, 0.03 * clamped],
    [3, 0.02 * clamped],
    [PROPSHAFT, 0.04 * clamped],
    [2 * PROPSHAFT, 0.06 * clamped],
    [MESH, mesh],
    [2 * MESH, 0.35 * mesh],
  ] as const;
  for (const [order, value] of lines) {
    const centre = Math.round(order / STEP);
    for (const [i, share] of LOBE.entries()) {
      const k = centre + i - 2;
      rms[k] = Math.max(rms[k]!, share * value);
    }
  }
  return { step: STEP, rms: rms.map((value) => value / FULL_SCALE_M_S2) };
}
