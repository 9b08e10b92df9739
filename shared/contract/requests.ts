import { z } from 'zod';
import { ChannelSchema } from '../bundle/visit.ts';
import { DRIVING_STATES } from '../driveline/words.ts';
import { MessageSchema } from '../messages/message.ts';
import { id, nothing, request } from './define.ts';
import { FINDINGS_EVENTS, FINDINGS_REQUESTS } from './findings-requests.ts';
import { FOLDER_REQUESTS } from './folder-requests.ts';
import {
  RunHistorySchema,
  VehicleInputSchema,
  VehiclePageSchema,
  VehicleRowSchema,
  VehicleSchema,
  VisitInputSchema,
  VisitSchema,
} from './garage.ts';
import {
  BandSchema,
  DeviceSchema,
  LevelsSchema,
  LiveStateSchema,
  OpenLiveSchema,
  OrdersSchema,
} from './live.ts';
import { REPORT_REQUESTS } from './report-requests.ts';
import { RETURNING_CAR_REQUESTS } from './returning-car-requests.ts';
import { SPEED_REQUESTS } from './speed-requests.ts';
import { SUPPORT_REQUESTS } from './support-requests.ts';
import { VISIT_WORK_EVENTS, VISIT_WORK_REQUESTS } from './visit-work-requests.ts';

/**
 * The whole traffic between renderer and main process. Both ends validate: a request that does not fit is
 * refused before it reaches any code, an answer that does not fit never reaches a screen.
 */
export const REQUESTS = {
  ...RETURNING_CAR_REQUESTS,
  ...FOLDER_REQUESTS,
  'vehicles.search': request(z.object({ text: z.string().max(200) }), z.array(VehicleRowSchema)),
  'vehicles.page': request(z.object({ vehicleId: id }), VehiclePageSchema),
  'vehicles.add': request(VehicleInputSchema, VehicleSchema),
  'vehicles.change': request(z.object({ vehicleId: id, vehicle: VehicleInputSchema }), VehicleSchema),

  /** Fills an empty garage with invented vehicles, to learn and to show. */
  'garage.addDemo': request(nothing, z.object({ returningVehicleId: id })),

  'visits.start': request(VisitInputSchema, VisitSchema),
  'visits.get': request(z.object({ visitId: id }), VisitSchema),

  'runs.history': request(z.object({ runId: id }), RunHistorySchema),
  /** RMS spectrum of one channel over a stretch, in Hz, drawn-size; and in orders where the speed is known. */
  'runs.spectrum': request(
    z.object({ runId: id, channel: z.number().int(), from_s: z.number(), to_s: z.number() }),
    z.object({
      hertz: z.object({ first: z.number(), step: z.number(), rms: z.array(z.number()) }),
      orders: z
        .object({ shaft: z.string(), first: z.number(), step: z.number(), rms: z.array(z.number()) })
        .nullable(),
    }),
  ),

  'live.state': request(nothing, LiveStateSchema),
  'live.devices': request(nothing, z.array(DeviceSchema)),
  'live.open': request(OpenLiveSchema, nothing),
  'live.close': request(nothing, nothing),
  'live.setChannels': request(z.object({ channels: z.array(ChannelSchema) }), nothing),
  'live.hear': request(
    z.union([
      z.object({ channel: z.number().int().min(1).max(32) }),
      z.object({ step: z.union([z.literal(1), z.literal(-1)]) }),
    ]),
    nothing,
  ),
  'live.hearPrevious': request(nothing, nothing),
  'live.listen': request(
    z
      .object({
        on: z.boolean(),
        band: BandSchema,
        gain_db: z.number().min(-40).max(60),
        output: z.string().nullable(),
      })
      .partial(),
    nothing,
  ),
  'live.meterBand': request(z.object({ band: BandSchema }), nothing),
  'live.resetPeaks': request(nothing, nothing),
  'live.speed': request(
    z.union([
      z.object({ km_h: z.number().min(0).max(400).nullable() }),
      z.object({ nudge_km_h: z.number().min(-50).max(50) }),
    ]),
    nothing,
  ),
  'live.gearRatio': request(z.object({ gearRatio: z.number().positive().nullable() }), nothing),
  'live.drivingState': request(z.object({ state: z.enum(DRIVING_STATES) }), nothing),
  'live.record': request(z.object({ on: z.boolean() }), nothing),
  'live.mark': request(z.object({ text: z.string().max(500) }), nothing),

  ...FINDINGS_REQUESTS,
  ...REPORT_REQUESTS,
  ...SPEED_REQUESTS,
  ...SUPPORT_REQUESTS,
  ...VISIT_WORK_REQUESTS,
} as const;

export type RequestName = keyof typeof REQUESTS;
export type RequestInput<N extends RequestName> = z.infer<(typeof REQUESTS)[N]['input']>;
export type RequestOutput<N extends RequestName> = z.infer<(typeof REQUESTS)[N]['output']>;

export const EVENTS = {
  'live.state': LiveStateSchema,
  'live.levels': LevelsSchema,
  'live.orders': OrdersSchema,
  /** A sentence worth showing once, e.g. what start-up repaired. */
  notice: MessageSchema,
  /** A run has left its comparable measures. */
  'runs.measured': z.object({ runId: id, visitId: id, vehicleId: id }),
  ...FINDINGS_EVENTS,
  ...VISIT_WORK_EVENTS,
} as const;
export type EventName = keyof typeof EVENTS;
export type EventPayload<N extends EventName> = z.infer<(typeof EVENTS)[N]>;
export type AppEvent = { [N in EventName]: { name: N; payload: EventPayload<N> } }[EventName];

/** What a request comes back with: a value, or a sentence for the user and, at a form, the field it belongs to. */
export const ReplySchema = z.union([
  z.object({ ok: z.literal(true), value: z.unknown() }),
  z.object({ ok: z.literal(false), told: MessageSchema, field: z.string().optional() }),
]);
export type Reply = z.infer<typeof ReplySchema>;

/** The one way from a screen to the main process, whatever shell carries it. */
export interface Transport {
  request(name: RequestName, input: unknown): Promise<Reply>;
  subscribe(listener: (event: AppEvent) => void): () => void;
}
