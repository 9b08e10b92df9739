import { z } from 'zod';
import { MessageSchema, message } from '../messages/message.ts';
import { issue } from '../visit-work/fields.ts';
import { nothing, request } from './define.ts';

/** Speed links: a satellite receiver and an adapter at the vehicle's bus, each on a serial port. */

export const LINK_KINDS = ['satellite', 'bus'] as const;
export const LinkKindSchema = z.enum(LINK_KINDS);
export type LinkKind = z.infer<typeof LinkKindSchema>;

/** 4800 is the rate of NMEA 0183; receivers and adapters at USB have others. */
export const BAUD_RATES = [4800, 9600, 19200, 38400, 57600, 115200] as const;
export const BaudRateSchema = z.literal(BAUD_RATES, issue(message('port.baudRate')));
export type BaudRate = z.infer<typeof BaudRateSchema>;

/** A device of the system, never another file. */
const portPath = z
  .string(issue(message('port.choose')))
  .max(200, issue(message('port.tooLong')))
  .regex(/^(\/dev\/(?!.*\.\.)\S+|COM\d{1,3})$/, issue(message('port.suchAs')));

const busLine = z.string().regex(/^[ -~]{1,40}$/, issue(message('port.firstLine')));

/** What is asked for when a link is opened. */
export const OpenSpeedLinkSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('satellite'), port: portPath, baudRate: BaudRateSchema }),
  z.object({
    kind: z.literal('bus'),
    port: portPath,
    baudRate: BaudRateSchema,
    /** Sent to the adapter before the first request. */
    firstLines: z.array(busLine).max(8, issue(message('port.firstLines'))),
  }),
]);
export type OpenSpeedLink = z.infer<typeof OpenSpeedLinkSchema>;

/** A link that has been opened and not closed; it joins again by itself. */
export const SpeedLinkStateSchema = z.object({
  kind: LinkKindSchema,
  port: z.string(),
  /** One sentence: what is wrong and what to do; null while it works. */
  problem: MessageSchema.nullable(),
  /** What it told last; null before that and while something is wrong. */
  km_h: z.number().nonnegative().nullable(),
  engine_rpm: z.number().nonnegative().nullable(),
});
export type SpeedLinkState = z.infer<typeof SpeedLinkStateSchema>;

export const SPEED_REQUESTS = {
  /** Serial ports that are there now; a port can be typed where the system does not list them. */
  'speed.ports': request(nothing, z.array(z.object({ path: z.string(), label: z.string() }))),
  /** Opens a link, in place of the open one of its kind. Refused when its port cannot be opened. */
  'speed.open': request(OpenSpeedLinkSchema, nothing),
  'speed.close': request(z.object({ kind: LinkKindSchema }), nothing),
} as const;
