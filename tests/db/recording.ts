import type { Garage } from '../../db/open.ts';
import type { Run, RunSecond, RunStart, Vehicle, VehicleInput, Visit } from '../../shared/contract/garage.ts';

export const VAN: VehicleInput = {
  plate: 'RP-DB 417',
  vin: null,
  ownerNote: 'company van, keys at the desk',
  spec: { label: 'blue van', odometer_km: 90_000, layout: 'rwd', finalDrive: { rear: null }, colour: 'blue' },
};

export const runStart = (visitId: number, file = 'run-1.wav'): RunStart => ({
  visitId,
  startedAt: '2026-03-01T10:05:00Z',
  file,
  sampleRate_Hz: 48_000,
  channels: [
    { channel: 1, role: 'vibration', position: 'hub-rear-left', fullScale_m_s2: 200, pickup: 'A' },
    { channel: 2, role: 'vibration', position: 'differential-rear-pinion', fullScale_m_s2: 500 },
    { channel: 3, role: 'tacho', shaft: 'propshaft', pulsesPerRev: 1 },
  ],
  orderLines: [
    { part: 'wheel', label: 'wheel 1×', shaft: 'wheel', order: 1 },
    { part: 'differential-rear', label: 'ring gear mesh 1×', shaft: 'wheel', order: 41 },
  ],
});

/** Second `n` of such a run; every value tells where it belongs. Exact in float32. */
export const secondOf = (n: number): RunSecond => ({
  second: n,
  speed_km_h: 80,
  rms: Float32Array.of(n, n + 0.25, n + 0.5),
  peak: Float32Array.of(2 * n, 2 * n + 0.25, 2 * n + 0.5),
  orders: Float32Array.of(n + 0.125, n + 0.25, n + 0.375, n + 0.5, n + 0.625, Number.NaN),
});

/** One vehicle, one visit, one run that is being recorded. */
export function recordingIn(garage: Garage): { vehicle: Vehicle; visit: Visit; run: Run } {
  const vehicle = garage.vehicles.add(VAN);
  const visit = garage.visits.start({
    vehicleId: vehicle.id,
    startedAt: '2026-03-01T10:00:00Z',
    odometer_km: 91_200,
    complaint: 'hums from the rear at 80',
  });
  return { vehicle, visit, run: garage.runs.start(runStart(visit.id)) };
}
