import { emptyDecision } from '../../shared/decision/decision.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { message } from '../../shared/messages/message.ts';
import type { ReportData } from '../../shared/report/report-data.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';

/** An invented visit with everything that a report can hold. */

const POSITIONS = [
  'hub-front-left',
  'hub-front-right',
  'hub-rear-left',
  'hub-rear-right',
  'differential-rear-left',
  'differential-rear-right',
  'propshaft-centre-bearing',
  'transmission',
];
const LEVELS_DB = [2.1, 1.4, 9.6, 12.3, 19.8, 23.4, 8.2, 4.4];
const STEP = 0.1875;

/** Noise that falls with the order, and the mesh of 41 teeth over it. */
const spectrum = (channel: number, mesh: number) => ({
  run: 1,
  channel,
  position: POSITIONS[channel - 1]!,
  shaft: 'wheel' as const,
  first: 0,
  step: STEP,
  rms: Array.from({ length: 600 }, (_, k) => {
    const order = k * STEP;
    const near = (at: number) => Math.exp(-(((order - at) / 0.25) ** 2));
    return 0.02 / (1 + order / 10) + 0.004 * Math.abs(Math.sin(7 * k)) + mesh * (near(41) + 0.4 * near(82));
  }),
});

export const exampleFindings = (): Findings => ({
  verdict: 'pinpointed',
  sources: [
    {
      source: 'differential-rear',
      probability: 0.973,
      evidence: [
        {
          kind: 'order',
          position: 'differential-rear-right',
          value: 21.2,
          unit: 'dB re third octave of noise around it',
          text: message('evidence.line.meshRear', {
            order: 41,
            over_db: 21.2,
            place: 'differential-rear-right',
            louder: message('evidence.louderThan', { difference_db: 3.6, place: 'differential-rear-left' }),
          }),
        },
        {
          kind: 'torque',
          position: 'differential-rear-right',
          value: 13.8,
          unit: 'dB',
          text: message('evidence.torque.gears', { change_db: 13.8 }),
        },
      ],
    },
    { source: 'wheel-bearing-rear-right', probability: 0.02, evidence: [] },
    { source: 'none', probability: 0.007, evidence: [] },
  ],
  nextPlacement: [],
  channels: POSITIONS.map((position, i) => ({
    run: 1,
    channel: i + 1,
    position,
    rms_m_s2: 1 + 0.2 * i,
    faults: i === 7 ? (['hum'] as const).slice() : [],
  })),
  speedCorrection: 0.988,
  summary: message('summary.pinpointed', { part: 'differential-rear', probability: 0.973 }),
  notices: [],
  convincing: {
    kind: 'orders',
    order: 41,
    band_Hz: null,
    loud: { run: 1, channel: 6, position: 'differential-rear-right' },
    quiet: { run: 1, channel: 2, position: 'hub-front-right' },
    levels: POSITIONS.map((position, i) => ({
      run: 1,
      channel: i + 1,
      position,
      level_db: LEVELS_DB[i]!,
      heard: i !== 1,
    })),
  },
  spectra: [spectrum(6, 0.4), spectrum(2, 0.006)],
  lines: [
    { label: 'wheel 1×', order: 1, sources: ['tyre-rear-left'] },
    { label: 'ring gear mesh 1×', order: 41, sources: ['differential-rear'] },
    { label: 'ring gear mesh 2×', order: 82, sources: ['differential-rear'] },
  ],
});

export function exampleReport(): ReportData {
  const decision = emptyDecision();
  const fluid = { name: 'Fluid, l', quantity: 1.1, unitPrice: 18.9 };
  return {
    settings: {
      units: 'metric',
      language: 'en',
      currency: 'EUR',
      labourRate_per_h: 95,
      tax_percent: 19,
      shop: { name: 'Hollow Lane Motor Works', address: '3 Hollow Lane\nLower Brackley', logo: null },
    },
    madeAt: '2026-05-12T14:05:00.000Z',
    visitId: 17,
    startedAt: '2026-05-12T08:40:00.000Z',
    odometer_km: 148_200,
    vehicle: {
      label: 'Estate car, 2.0 diesel',
      plate: 'RP-E 00417',
      vin: '1M8GDM9AXKP042788',
      layout: 'rwd',
      electricDrive: false,
    },
    complaint: 'Whine from the rear between 60 and 100 km/h, gone when lifting off.',
    heard: {
      ...emptyIntake().heard,
      speedFrom_km_h: 60,
      speedTo_km_h: 100,
      torque: 'drive',
      surface: 'noDifference',
      standing: false,
    },
    runs: [
      {
        startedAt: '2026-05-12T09:10:00.000Z',
        duration_s: 250,
        channels: POSITIONS.map((position, i) => ({ channel: i + 1, position, calibrated: true })),
        states: ['drive', 'coast', 'float', 'swayLeft', 'swayRight'],
        speed_km_h: { low: 52, high: 114 },
      },
    ],
    findings: exampleFindings(),
    inspection: {
      wheels: [
        { wheel: 'rear-left', play: 'none', drag: 'smooth', tyreWear: 'even', note: '' },
        { wheel: 'rear-right', play: 'none', drag: 'smooth', tyreWear: 'outerShoulder', note: '' },
      ],
      units: [
        {
          unit: 'differential-rear',
          debris: 'finePaste',
          photoId: null,
          drained_l: 1.1,
          refilled_l: 1.1,
          fillPlugOpenedFirst: true,
          fluid: '75W-90',
          fillPlug: { wanted_Nm: 60, done_Nm: 60 },
          drainPlug: { wanted_Nm: null, done_Nm: 45 },
          note: '',
        },
      ],
      note: '',
    },
    decision: {
      ...decision,
      source: 'differential-rear',
      failureExtra: 400,
      levelHasRisen: false,
      options: {
        ...decision.options,
        replace: {
          cost: {
            parts: [{ name: 'Rear differential, overhauled', quantity: 1, unitPrice: 1480 }, fluid],
            labour_h: 4.5,
          },
          later: null,
        },
        watch: {
          cost: { parts: [fluid], labour_h: 0.8 },
          later: { probability: 0.3, from: 'technician' },
        },
        test: { cost: { parts: [], labour_h: 1 }, later: null },
      },
      chosen: 'watch',
      carriedOut: true,
      reason: 'Fine paste only, no play; the owner wants to keep the car for two more years.',
      nextCheck: { date: '2026-11-12', odometer_km: 158_000 },
    },
    comparison: {
      earlierAt: '2025-05-12T08:40:00.000Z',
      differences: [
        {
          kind: 'orderLevel',
          part: 'differential-rear',
          label: 'ring gear mesh 1×',
          position: 'differential-rear-right',
          state: 'drive',
          speedBand: { low_km_h: 80, high_km_h: 90 },
          earlier_db: 108.2,
          later_db: 114.6,
          difference_db: 6.4,
          uncertainty_db: 3.1,
          change: 'louder',
          sentence: message('written', { text: '' }),
        },
        {
          kind: 'bandLevel',
          part: 'place',
          label: '891-1122 Hz',
          position: 'hub-front-left',
          state: 'coast',
          speedBand: { low_km_h: 60, high_km_h: 70 },
          earlier_db: 96.1,
          later_db: 95.2,
          difference_db: -0.9,
          uncertainty_db: 3.3,
          change: 'withinUncertainty',
          sentence: message('written', { text: '' }),
        },
      ],
      refused: [],
    },
  };
}
