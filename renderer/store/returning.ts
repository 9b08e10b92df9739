import type {
  EventPayload,
  RequestInput,
  RequestName,
  RequestOutput,
} from '../../shared/contract/requests.ts';
import type {
  CommonGround,
  DueRow,
  Outcome,
  VehicleWear,
  VisitComparison,
} from '../../shared/contract/returning-car.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

export type Overlay = RequestOutput<'visits.overlay'>;

export const groundKey = ({ position, state, speedBand }: CommonGround): string =>
  `${position} ${state} ${speedBand.low_km_h}`;

/** Cars that come back: their trend, two of their visits compared, when they are due. */
export interface ReturningSlice {
  /** Of the vehicle whose page is open. */
  wear: { vehicleId: number; value: VehicleWear } | null;
  comparison: VisitComparison | null;
  /** Spectra of the comparison by `groundKey`. */
  overlays: Record<string, Overlay>;
  due: DueRow[] | null;

  /** @param series whose trend to show; null for the one that answers for the vehicle */
  loadWear(vehicleId: number, series: string | null): Promise<void>;
  /** A run was measured: the open pages follow. */
  measured(run: EventPayload<'runs.measured'>): void;
  /** @throws {RequestError} for the form to show at its field */
  setWearLimit(vehicleId: number, series: string, level_db: number | null): Promise<void>;
  /** @throws {RequestError} for the form to show at its field */
  setOutcome(vehicleId: number, visitId: number, outcome: Outcome): Promise<void>;
  loadComparison(earlierVisitId: number, laterVisitId: number): Promise<void>;
  loadOverlay(ground: CommonGround): Promise<void>;
  loadDue(withinDays: number): Promise<void>;
  /**
   * A request whose answer only the asking form shows.
   * @throws {RequestError}
   */
  ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>>;
}

export const returningSlice =
  (client: Client): Slice<ReturningSlice> =>
  (set, get) => ({
    wear: null,
    comparison: null,
    overlays: {},
    due: null,

    async loadWear(vehicleId, series) {
      if (get().wear?.vehicleId !== vehicleId) set({ wear: null });
      await client
        .call('vehicles.wear', { vehicleId, series })
        .then((value) => set({ wear: { vehicleId, value } }), get().fail);
    },
    measured({ vehicleId, visitId }) {
      const { wear, comparison } = get();
      if (wear?.vehicleId === vehicleId) void get().loadWear(vehicleId, wear.value.shown?.key ?? null);
      if (comparison && [comparison.earlierVisitId, comparison.laterVisitId].includes(visitId))
        void get().loadComparison(comparison.earlierVisitId, comparison.laterVisitId);
    },
    async setWearLimit(vehicleId, series, level_db) {
      await client.call('vehicles.setWearLimit', { vehicleId, series, level_db });
      await get().loadWear(vehicleId, series);
    },
    async setOutcome(vehicleId, visitId, outcome) {
      await client.call('outcomes.set', { visitId, outcome });
      await get().loadWear(vehicleId, null);
    },
    async loadComparison(earlierVisitId, laterVisitId) {
      const { comparison: shown } = get();
      if (shown?.earlierVisitId !== earlierVisitId || shown.laterVisitId !== laterVisitId)
        set({ comparison: null, overlays: {} });
      await client
        .call('visits.compare', { earlierVisitId, laterVisitId })
        .then((comparison) => set({ comparison }), get().fail);
    },
    async loadOverlay(ground) {
      const key = groundKey(ground);
      if (key in get().overlays) return;
      const { position: _, ...where } = ground;
      await client
        .call('visits.overlay', where)
        .then((overlay) => set({ overlays: { ...get().overlays, [key]: overlay } }), get().fail);
    },
    ask: (name, input) => client.call(name, input),
    async loadDue(withinDays) {
      await client.call('garage.due', { withinDays }).then((due) => set({ due }), get().fail);
    },
  });
