import i18next from 'i18next';
import type { Language } from '../messages/language.ts';
import type { TextKey } from '../messages/same-keys.ts';
import { LOCALES, nameIn, type Tell, teller } from '../messages/tell.ts';
import { type Quantity, shown, type UnitSystem, unitOf, withUnit } from '../units/units.ts';
import { de } from './texts/de.ts';
import { en } from './texts/en.ts';

export type ReportLanguage = Language;
export type ReportText = TextKey<typeof en>;

/** Texts, numbers and dates of one language and one system of units. */
export interface ReportWords {
  readonly language: ReportLanguage;
  /** For Intl: dates, numbers and money. */
  readonly locale: string;
  readonly units: UnitSystem;
  t(key: ReportText, values?: Readonly<Record<string, string | number>>): string;
  /** A sentence of the analysis. */
  readonly tell: Tell;
  /** The word of a group for a name, or the name itself where it is the user's own. */
  named(group: 'place' | 'part' | 'unit', name: string): string;
  list(names: readonly string[], joint?: 'conjunction' | 'disjunction'): string;
  number(value: number, digits?: number): string;
  decibels(value: number, digits?: number): string;
  percent(share: number): string;
  date(iso: string): string;
  /** Of minutes and seconds: `4:10 min`. */
  duration(seconds: number): string;
  quantity(value: number, quantity: Quantity): string;
  /** A range with its unit once: `80–90 km/h`. */
  range(low: number, high: number, quantity: Quantity): string;
}

const i18n = i18next.createInstance();
void i18n.init({
  resources: { en: { translation: en }, de: { translation: de } },
  lng: 'en',
  fallbackLng: false,
  initAsync: false,
  // The document escapes whatever it holds, whoever wrote it.
  interpolation: { escapeValue: false },
});

/** @param timeZone of the shop, so that a late visit is not dated to another day; absent: the computer's own */
export function reportWords(
  language: ReportLanguage,
  units: UnitSystem,
  timeZone: string | undefined = undefined,
): ReportWords {
  const locale = LOCALES[language][units];
  const translate = i18n.getFixedT(language) as unknown as (key: string, values?: object) => string;
  const number = (value: number, digits = 0): string =>
    value
      .toLocaleString(locale, { minimumFractionDigits: digits, maximumFractionDigits: digits })
      .replace(/^-/, '−');
  return {
    language,
    locale,
    units,
    t: (key, values) => translate(key, values),
    tell: teller(language, units),
    named: (group, name) => nameIn(language, group, name),
    list: (names, type = 'conjunction') => new Intl.ListFormat(locale, { type }).format(names),
    number,
    decibels: (value, digits = 0) => `${number(value, digits)} dB`,
    percent: (share) =>
      share.toLocaleString(locale, { style: 'percent', maximumFractionDigits: share > 0.99 ? 1 : 0 }),
    // Months in letters: no day is taken for a month on either side of an ocean.
    date: (iso) =>
      new Intl.DateTimeFormat(locale, {
        dateStyle: 'long',
        timeZone: iso.length === DAY_ONLY ? 'UTC' : timeZone,
      }).format(new Date(iso)),
    duration: (seconds) => {
      const whole = Math.round(seconds);
      return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')} min`;
    },
    quantity: (value, quantity) => withUnit(value, quantity, units, locale),
    range: (low, high, quantity) => {
      const [from, to] = [low, high].map((v) => number(Math.round(shown(v, quantity, units))));
      const unit = unitOf(quantity, units);
      return from === to ? `${from} ${unit}` : `${from}–${to} ${unit}`;
    },
  };
}

/** `2026-05-12` is that day everywhere, not midnight of one place. */
const DAY_ONLY = 10;
