import { z } from 'zod';
import { textOf } from '../messages/as-text.ts';
import { message } from '../messages/message.ts';
import { CautionSchema } from './cautions.ts';
import { count, named, within } from './fields.ts';

export const channelNumber = count('Channel', 1, 32);

const twice = <T>(values: readonly T[]): number => values.findIndex((v, i) => values.indexOf(v) !== i);

/** Which pickup sits where, on which channel, and what was ticked before the drive. */
export const RiggingSchema = z.object({
  /** The interface as the system names it. */
  interfaceName: named('Interface', 200).nullable(),
  channels: z
    .array(
      z.object({
        channel: channelNumber,
        position: named('Position', 60),
        /** A pickup of the settings, by name; null: an unknown one, whose levels are relative. */
        pickup: named('Pickup', 60).nullable(),
        /** Said on purpose: levels of this channel are relative, whatever its pickup's data say. */
        relative: z.boolean(),
      }),
    )
    .max(32)
    .superRefine((channels, context) => {
      const channel = twice(channels.map((c) => c.channel));
      if (channel >= 0) {
        context.addIssue({
          code: 'custom',
          path: [channel, 'channel'],
          message: textOf(message('rigging.channelTaken', { channel: channels[channel]!.channel })),
        });
      }
      const pickups = channels.map((c, i) => c.pickup ?? i);
      const pickup = twice(pickups);
      if (pickup >= 0) {
        context.addIssue({
          code: 'custom',
          path: [pickup, 'pickup'],
          message: textOf(message('rigging.pickupElsewhere', { pickup: pickups[pickup]! })),
        });
      }
    }),
  tachos: z
    .array(
      z.object({
        channel: channelNumber,
        shaft: named('Shaft', 60),
        pulsesPerRev: within('Pulses per turn', 0.01, 10_000),
      }),
    )
    .max(4),
  cautionsTicked: z.array(CautionSchema),
});
export type Rigging = z.infer<typeof RiggingSchema>;

export const emptyRigging = (): Rigging => ({
  interfaceName: null,
  channels: [],
  tachos: [],
  cautionsTicked: [],
});
