import { z } from 'zod';
import { textOf } from '../messages/as-text.ts';
import { LANGUAGES } from '../messages/language.ts';
import { message } from '../messages/message.ts';
import { issue, named, text, within } from './fields.ts';

export const PickupSchema = z.object({
  name: named('Pickup', 60),
  /** From its data sheet or calibration certificate. */
  sensitivity_mV_per_m_s2: within('Sensitivity', 0.001, 100_000, 'mV per m/s²').nullable(),
  /** What a reference shaker has shown; the newest for an interface and channel counts. */
  calibrations: z
    .array(
      z.object({
        interfaceName: named('Interface', 200),
        channel: z.number().int().min(1).max(32),
        fullScale_m_s2: within('Full scale', 0.001, 1e7, 'm/s²'),
        at: z.iso.datetime({ offset: true }),
      }),
    )
    .max(500),
});
export type Pickup = z.infer<typeof PickupSchema>;

export const PickupSetSchema = z.object({
  name: named('Pickup set', 60),
  pickups: z.array(PickupSchema).max(64),
});

export const SettingsSchema = z.object({
  shop: z.object({
    name: text('Shop', 120),
    /** As it stands on the report. */
    address: text('Address', 300),
    /** An attachment with the picture. */
    logoId: z.number().int().positive().nullable(),
  }),
  units: z.enum(['metric', 'imperial']),
  language: z.enum(LANGUAGES),
  /** ISO 4217. */
  currency: z.string().regex(/^[A-Z]{3}$/, issue(message('settings.currency'))),
  labourRate_per_h: within('Labour rate', 0, 1_000_000).nullable(),
  tax_percent: within('Tax', 0, 100, '%').nullable(),
  interfaces: z
    .array(
      z.object({
        name: named('Interface', 200),
        /** Peak voltage at its input that gives full scale, at the gain that is used. */
        fullScale_V: within('Full scale', 0.0001, 1000, 'V').nullable(),
      }),
    )
    .max(32),
  pickupSets: z
    .array(PickupSetSchema)
    .max(16)
    .superRefine((sets, context) => {
      const seen = new Set<string>();
      for (const [s, { pickups }] of sets.entries()) {
        for (const [p, { name }] of pickups.entries()) {
          if (seen.has(name)) {
            context.addIssue({
              code: 'custom',
              path: [s, 'pickups', p, 'name'],
              message: textOf(message('settings.pickupTwice', { pickup: name })),
            });
          }
          seen.add(name);
        }
      }
    }),
});
export type Settings = z.infer<typeof SettingsSchema>;

export const defaultSettings = (): Settings => ({
  shop: { name: '', address: '', logoId: null },
  units: 'metric',
  language: 'en',
  currency: 'EUR',
  labourRate_per_h: null,
  tax_percent: null,
  interfaces: [],
  pickupSets: [],
});

export type FullScale = { readonly fullScale_m_s2: number; readonly from: 'shaker' | 'dataSheet' };

/**
 * Full scale of a pickup on a channel: what a reference shaker has shown on this interface and channel, otherwise
 * the interface's peak voltage over the pickup's sensitivity; null when neither is known.
 */
export function fullScaleOf(
  settings: Settings,
  interfaceName: string | null,
  channel: number,
  pickupName: string | null,
): FullScale | null {
  const pickup = settings.pickupSets.flatMap((s) => s.pickups).find((p) => p.name === pickupName);
  if (!pickup || interfaceName === null) return null;
  const shown = pickup.calibrations
    .filter((c) => c.interfaceName === interfaceName && c.channel === channel)
    .sort((a, b) => Date.parse(b.at) - Date.parse(a.at))[0];
  if (shown) return { fullScale_m_s2: shown.fullScale_m_s2, from: 'shaker' };
  const volts = settings.interfaces.find((i) => i.name === interfaceName)?.fullScale_V ?? null;
  if (volts === null || pickup.sensitivity_mV_per_m_s2 === null) return null;
  return { fullScale_m_s2: volts / (pickup.sensitivity_mV_per_m_s2 / 1000), from: 'dataSheet' };
}
