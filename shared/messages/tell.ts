import i18next from 'i18next';
import { moneyText } from '../units/money.ts';
import { type Quantity, shown, type UnitSystem, withUnit } from '../units/units.ts';
import type { Language } from './language.ts';
import type { Message, MessageValue } from './message.ts';
import { de } from './texts/de.ts';
import { NAMES as deNames } from './texts/de-names.ts';
import { en } from './texts/en.ts';
import { NAMES as enNames } from './texts/en-names.ts';

/** A message as a sentence of one language, in one system of units. */
export type Tell = (message: Message) => string;

/** Numbers, dates and money of a language as the shop writes them. */
export const LOCALES: Readonly<Record<Language, Readonly<Record<UnitSystem, string>>>> = {
  en: { metric: 'en-GB', imperial: 'en-US' },
  de: { metric: 'de-DE', imperial: 'de-DE' },
};

const NAMES: Readonly<Record<Language, typeof enNames | typeof deNames>> = { en: enNames, de: deNames };
export type NameGroup = keyof typeof enNames;
export type WordOf<Group extends NameGroup> = keyof (typeof enNames)[Group];

/** The word for a name of a closed vocabulary; a name that it does not hold is the user's own and stays. */
export function nameIn(language: Language, group: NameGroup, name: string): string {
  const words: Readonly<Record<string, string>> = NAMES[language][group];
  return Object.hasOwn(words, name) ? words[name]! : name;
}

/** `ring gear mesh 2×` and `engine firing 1× in gear 0.8` in a language. */
export function orderName(language: Language, label: string): string {
  const [, name, multiple, gear] = /^(.*?)( \d+×)?(?: in gear (.*))?$/s.exec(label)!;
  const word = (of: string): string => nameIn(language, 'order', of);
  return `${word(name!)}${multiple ?? ''}${gear === undefined ? '' : ` ${word('in gear')} ${gear}`}`;
}

/** What a formatter knows of its reader. */
type Reader = { readonly language: Language; readonly units: UnitSystem };
type Formatter = (value: MessageValue, reader: Reader, options: { readonly type?: string }) => string;

const localeOf = ({ language, units }: Reader): string => LOCALES[language][units];

const decimals =
  (digits: number): Formatter =>
  (value, reader) =>
    Number(value)
      .toLocaleString(localeOf(reader), { minimumFractionDigits: digits, maximumFractionDigits: digits })
      .replace(/^-(0([.,]0+)?)$/, '$1')
      .replace(/^-/, '−');
const tenths = decimals(1);

/** @param value currency and amount in its minor units, as `amountOf` puts them together */
const money = (value: string, reader: Reader): string => {
  const [currency, minor] = value.split(' ');
  return moneyText(Number(minor), currency!, localeOf(reader));
};

const quantity =
  (of: Quantity): Formatter =>
  (value, reader) =>
    withUnit(Number(value), of, reader.units, localeOf(reader));

/** Words of a group, several of them as a list. */
const words =
  (group: NameGroup): Formatter =>
  (value, reader, { type = 'conjunction' }) => {
    const names = (Array.isArray(value) ? value : [value]).map((v) =>
      nameIn(reader.language, group, String(v)),
    );
    return new Intl.ListFormat(localeOf(reader), { type: type as Intl.ListFormatType }).format(names);
  };

/** What may stand after the comma in a text. */
export const FORMATTERS: Readonly<Record<string, Formatter>> = {
  ...Object.fromEntries((Object.keys(enNames) as NameGroup[]).map((group) => [group, words(group)])),
  whole: decimals(0),
  tenths,
  hundredths: decimals(2),
  signed: (value, reader, options) => `${Number(value) < 0 ? '' : '+'}${tenths(value, reader, options)}`,
  share: (value, reader) => {
    const share = Number(value);
    return share.toLocaleString(localeOf(reader), {
      style: 'percent',
      minimumFractionDigits: share > 0.99 ? 1 : 0,
      maximumFractionDigits: share > 0.99 ? 1 : 0,
    });
  },
  trimmed: (value, reader) =>
    Number(value).toLocaleString(localeOf(reader), { maximumSignificantDigits: 12, useGrouping: false }),
  money: (value, reader) => money(String(value), reader),
  moneySum: (value, reader) => (value as readonly string[]).map((v) => money(v, reader)).join(' + '),
  date: (value, reader) =>
    new Intl.DateTimeFormat(localeOf(reader), { dateStyle: 'medium', timeZone: 'UTC' }).format(
      new Date(String(value)),
    ),
  capital: (value) => String(value).charAt(0).toUpperCase() + String(value).slice(1),
  /** What is wrong with a channel, one thing after the other. */
  faults: (value, { language }) =>
    (value as readonly string[]).map((fault) => nameIn(language, 'fault', fault)).join('; '),
  significant: (value, reader) =>
    Number(value).toLocaleString(localeOf(reader), {
      minimumSignificantDigits: 4,
      maximumSignificantDigits: 4,
    }),
  /** As many decimals as it has, thousandths at most. */
  plain: (value, reader) => Number(value).toLocaleString(localeOf(reader), { maximumFractionDigits: 3 }),
  /** The edge of a band: three figures say enough. */
  hertz: (value, reader) => Number(value).toLocaleString(localeOf(reader), { maximumSignificantDigits: 3 }),
  listed: (value) => (value as readonly string[]).join(', '),
  order: (value, { language }) => orderName(language, String(value)),
  spokenSpeed: (value, reader, options) =>
    quantity('speed')(value, reader, options).replace(/km\/h|mph/, (unit) =>
      nameIn(reader.language, 'spokenUnit', unit),
    ),
  speed: quantity('speed'),
  /** The lower end of a range, whose unit stands at the upper one. */
  speedNumber: (value, reader, options) =>
    decimals(0)(shown(Number(value), 'speed', reader.units), reader, options),
  distance: quantity('distance'),
  pressure: quantity('pressure'),
  torque: quantity('torque'),
  volume: quantity('volume'),
};

const i18n = i18next.createInstance();
void i18n.init({
  resources: { en: { translation: en }, de: { translation: de } },
  lng: 'en',
  fallbackLng: false,
  initAsync: false,
  keySeparator: false,
  nsSeparator: false,
  // Whoever shows it escapes it.
  interpolation: { escapeValue: false },
});

for (const [name, format] of Object.entries(FORMATTERS)) {
  i18n.services.formatter!.add(name, (value, _, options) => format(value, options as Reader, options));
}

const isMessage = (value: MessageValue): value is Message =>
  typeof value === 'object' && value !== null && 'id' in value;

/** Tells messages in a language and system of units. */
export function teller(language: Language, units: UnitSystem = 'metric'): Tell {
  const translate = i18n.getFixedT(language) as (key: string, values: object) => string;
  const tell: Tell = ({ id, values }) => {
    // Sentences within sentences first: i18next cannot begin one in the middle of another.
    const told = Object.entries(values).map(([name, v]) => [name, isMessage(v) ? tell(v) : v]);
    return translate(id, { ...Object.fromEntries(told), language, units });
  };
  return tell;
}

/** For the command line, the log's reader and developers. */
export const english: Tell = teller('en');
