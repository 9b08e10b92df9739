import type {
  RunHistory,
  Vehicle,
  VehicleInput,
  VehiclePage,
  VehicleRow,
  Visit,
  VisitInput,
} from '../../shared/contract/garage.ts';
import type { Device } from '../../shared/contract/live.ts';
import type { RequestInput, RequestOutput } from '../../shared/contract/requests.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

export type RunSpectrum = RequestOutput<'runs.spectrum'>;

export const spectrumKey = (of: RequestInput<'runs.spectrum'>): string =>
  `${of.runId} ${of.channel} ${of.from_s} ${of.to_s}`;

/** What the garage remembers, as far as a screen has asked for it. */
export interface GarageSlice {
  searchText: string;
  /** Null until the first answer. */
  vehicles: VehicleRow[] | null;
  vehiclePage: VehiclePage | null;
  visit: Visit | null;
  /** The visit before the open one, to lie beside it; null when there is none. */
  earlierVisit: Visit | null;
  histories: Record<number, RunHistory>;
  /** By `spectrumKey`. */
  spectra: Record<string, RunSpectrum>;
  devices: Device[] | null;

  search(text: string): Promise<void>;
  /** Fills an empty garage with invented vehicles; the id of the one that came back, or null when refused. */
  addDemo(): Promise<number | null>;
  loadVehicle(vehicleId: number): Promise<void>;
  /** @throws {RequestError} for the form to show at its field */
  addVehicle(vehicle: VehicleInput): Promise<Vehicle>;
  /** @throws {RequestError} for the form to show at its field */
  changeVehicle(vehicleId: number, vehicle: VehicleInput): Promise<void>;
  /** @throws {RequestError} for the form to show at its field */
  startVisit(visit: VisitInput): Promise<Visit>;
  loadVisit(visitId: number): Promise<void>;
  /** Looks for the vehicle's visit before the open one. */
  loadEarlierVisit(): Promise<void>;
  loadHistory(runId: number): Promise<void>;
  loadSpectrum(of: RequestInput<'runs.spectrum'>): Promise<void>;
  loadDevices(): Promise<void>;
}

export const garageSlice =
  (client: Client): Slice<GarageSlice> =>
  (set, get) => ({
    searchText: '',
    vehicles: null,
    vehiclePage: null,
    visit: null,
    earlierVisit: null,
    histories: {},
    spectra: {},
    devices: null,

    async search(text) {
      set({ searchText: text });
      try {
        const vehicles = await client.call('vehicles.search', { text });
        // An answer to an older text must not overwrite what was typed since.
        if (get().searchText === text) set({ vehicles });
      } catch (error) {
        get().fail(error);
      }
    },
    async addDemo() {
      try {
        return (await client.call('garage.addDemo', null)).returningVehicleId;
      } catch (error) {
        get().fail(error);
        return null;
      }
    },
    async loadVehicle(vehicleId) {
      if (get().vehiclePage?.vehicle.id !== vehicleId) set({ vehiclePage: null });
      await client
        .call('vehicles.page', { vehicleId })
        .then((vehiclePage) => set({ vehiclePage }), get().fail);
    },
    addVehicle: (vehicle) => client.call('vehicles.add', vehicle),
    async changeVehicle(vehicleId, vehicle) {
      await client.call('vehicles.change', { vehicleId, vehicle });
      await get().loadVehicle(vehicleId);
    },
    startVisit: (visit) => client.call('visits.start', visit),
    async loadVisit(visitId) {
      if (get().visit?.id !== visitId) set({ visit: null, spectra: {} });
      await client.call('visits.get', { visitId }).then((visit) => set({ visit }), get().fail);
    },
    async loadEarlierVisit() {
      const { visit } = get();
      set({ earlierVisit: null });
      if (!visit) return;
      try {
        const { visits } = await client.call('vehicles.page', { vehicleId: visit.vehicleId });
        const before = visits
          .filter((v) => v.runs > 0 && Date.parse(v.startedAt) < Date.parse(visit.startedAt))
          .sort((a, b) => Date.parse(b.startedAt) - Date.parse(a.startedAt))[0];
        if (before) set({ earlierVisit: await client.call('visits.get', { visitId: before.id }) });
      } catch (error) {
        get().fail(error);
      }
    },
    async loadHistory(runId) {
      await client
        .call('runs.history', { runId })
        .then((history) => set({ histories: { ...get().histories, [runId]: history } }), get().fail);
    },
    async loadSpectrum(of) {
      const key = spectrumKey(of);
      if (key in get().spectra) return;
      await client
        .call('runs.spectrum', of)
        .then((value) => set({ spectra: { ...get().spectra, [key]: value } }), get().fail);
    },
    async loadDevices() {
      set({ devices: null });
      await client.call('live.devices', null).then(
        (devices) => set({ devices }),
        (error) => {
          set({ devices: [] });
          get().fail(error);
        },
      );
    },
  });
