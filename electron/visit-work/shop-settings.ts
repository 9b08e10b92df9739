import { z } from 'zod';
import type { Garage } from '../../db/open.ts';
import { defaultSettings, type Settings, SettingsSchema } from '../../shared/visit-work/settings.ts';

const NAME = 'workshop';

/** The shop's settings as they were saved; a part that no longer fits its schema falls back alone. */
export function settingsOf(garage: Garage): Settings {
  const kept = garage.settings.get(NAME, z.record(z.string(), z.unknown())) ?? {};
  const fallback = defaultSettings();
  const { shape } = SettingsSchema;
  const part = <K extends keyof Settings>(key: K): Settings[K] => {
    const { data } = shape[key].safeParse(kept[key]);
    return data === undefined ? fallback[key] : (data as Settings[K]);
  };
  return {
    shop: part('shop'),
    units: part('units'),
    language: part('language'),
    currency: part('currency'),
    labourRate_per_h: part('labourRate_per_h'),
    tax_percent: part('tax_percent'),
    interfaces: part('interfaces'),
    pickupSets: part('pickupSets'),
  };
}

export function saveSettings(garage: Garage, settings: Settings): void {
  garage.settings.set(NAME, settings);
}
