import type { Language } from '../messages/language.ts';
import { LOCALES } from '../messages/tell.ts';
import { type UnitSystem, withUnit } from '../units/units.ts';
import type { Option } from './decision.ts';

/** The words of the arithmetic and of the advice, one set per language; screens and report show the same. */

const en = {
  /** Of numbers and money. */
  locale: 'en',
  /** How far the horizon reaches. */
  distance: (km: number) => `${km.toLocaleString('en')} km`,
  labour: 'Labour',
  net: 'Net',
  tax: 'Tax',
  payNow: 'To be paid now',
  ifItComesToIt: 'If it comes to it',
  expected: 'Expected cost',
  hours: (hours: string, rate: string) => `${hours} h × ${rate}`,
  share: (percent: string, of: string) => `${percent} % of ${of}`,
  replacementAndMore: (replacement: string, more: string) => `${replacement} replacement + ${more} beyond it`,
  chance: (distance: string, from: 'technician' | 'shopHistory') =>
    `Chance within ${distance} (${from === 'technician' ? 'the technician’s own estimate' : 'this shop’s own history'})`,
  noRate: 'The labour rate is not set, so this option has no price yet.',
  noTax: 'The tax is not set: prices stand without it.',
  noReplacement: 'What a later replacement costs is not known: fill in the option to replace first.',
  noChance: (option: Option, distance: string, low: string, high: string) =>
    `No chance that it ${option === 'replace' ? 'fails again' : 'must be replaced'} within ${distance} has been given and this shop has no history of it: the cost lies between ${low} and ${high}.`,

  debrisCoarse: 'The debris is coarser than fine paste: the wear has begun in earnest.',
  debrisUnknown: 'Nobody has looked at the drain plug yet.',
  playFound: 'There is play already.',
  playUnknown: 'Nobody has felt for play yet.',
  risen: 'The level has risen since the last visit.',
  riseUnknown: 'Whether the level rises is not known: there is no earlier visit to compare with.',
  replaceProved: 'The source is proved: the risk left is that of the repair itself.',
  replaceUnproved: 'The source is not proved yet: the part may be bought in vain, and the noise may stay.',
  watch:
    'Wear does not heal: the part is looked at again at the agreed date or mileage, sooner when the noise changes.',
  testProved: 'The source is proved already: more tests would cost time and tell little.',
  testUnproved: 'It costs time, and no part is bought on a guess.',
  nothing: 'Nobody looks again: a part that gets worse is noticed late, perhaps on the road.',

  historyTooShort: (known: number, needed: number) =>
    `This shop knows the end of ${known === 0 ? 'none' : `only ${known}`} of its own decisions of this kind; ${needed} are needed before they say anything.`,
  history: (repaired: number, known: number) =>
    `${repaired} of ${known} vehicles of this shop came back for the repair within the horizon.`,
};
export type DecisionWords = typeof en;

const de: DecisionWords = {
  locale: 'de',
  distance: (km) => `${km.toLocaleString('de')} km`,
  labour: 'Arbeit',
  net: 'Netto',
  tax: 'Steuer',
  payNow: 'Jetzt zu zahlen',
  ifItComesToIt: 'Falls es dazu kommt',
  expected: 'Erwartete Kosten',
  hours: (hours, rate) => `${hours} h × ${rate}`,
  share: (percent, of) => `${percent} % von ${of}`,
  replacementAndMore: (replacement, more) => `${replacement} Ersatz + ${more} darüber hinaus`,
  chance: (distance, from) =>
    `Wahrscheinlichkeit innerhalb von ${distance} (${from === 'technician' ? 'eigene Schätzung der Fachkraft' : 'eigene Erfahrung dieser Werkstatt'})`,
  noRate: 'Der Stundensatz ist nicht eingestellt; daher hat diese Möglichkeit noch keinen Preis.',
  noTax: 'Die Steuer ist nicht eingestellt: Die Preise verstehen sich ohne sie.',
  noReplacement:
    'Was ein späterer Ersatz kostet, ist nicht bekannt: Zuerst die Möglichkeit „Ersetzen“ ausfüllen.',
  noChance: (option, distance, low, high) =>
    `Wie wahrscheinlich es innerhalb von ${distance} ${option === 'replace' ? 'wieder ausfällt' : 'ersetzt werden muss'}, ist nicht angegeben, und diese Werkstatt hat keine eigene Erfahrung damit: Die Kosten liegen zwischen ${low} und ${high}.`,

  debrisCoarse: 'Der Abrieb ist gröber als feine Paste: Der Verschleiß hat ernsthaft begonnen.',
  debrisUnknown: 'Die Ablassschraube hat noch niemand angesehen.',
  playFound: 'Es ist bereits Spiel da.',
  playUnknown: 'Auf Spiel hat noch niemand geprüft.',
  risen: 'Der Pegel ist seit dem letzten Besuch gestiegen.',
  riseUnknown: 'Ob der Pegel steigt, ist nicht bekannt: Es gibt keinen früheren Besuch zum Vergleich.',
  replaceProved: 'Die Ursache ist nachgewiesen: Es bleibt nur das Risiko der Reparatur selbst.',
  replaceUnproved:
    'Die Ursache ist noch nicht nachgewiesen: Das Teil wird vielleicht umsonst gekauft, und das Geräusch bleibt.',
  watch:
    'Verschleiß heilt nicht: Das Teil wird zum vereinbarten Termin oder Kilometerstand wieder geprüft, früher, wenn sich das Geräusch ändert.',
  testProved: 'Die Ursache ist schon nachgewiesen: Weitere Versuche kosten Zeit und sagen wenig.',
  testUnproved: 'Es kostet Zeit, und kein Teil wird auf Verdacht gekauft.',
  nothing:
    'Niemand sieht mehr nach: Wird ein Teil schlechter, merkt man es spät, vielleicht erst auf der Straße.',

  historyTooShort: (known, needed) =>
    `Diese Werkstatt weiß von ${known === 0 ? 'keiner' : `nur ${known}`} ihrer Entscheidungen dieser Art, wie sie ausging; es braucht ${needed}, bevor sie etwas sagen.`,
  history: (repaired, known) =>
    `${repaired} von ${known} Fahrzeugen dieser Werkstatt kamen innerhalb der Strecke zur Reparatur wieder.`,
};

export const DECISION_WORDS: Readonly<Record<Language, DecisionWords>> = { en, de };

/** The words for a reader of a language and units, with numbers and distances as he writes them. */
export function decisionWords(language: Language, units: UnitSystem): DecisionWords {
  const locale = LOCALES[language][units];
  const distance = (km: number): string => withUnit(km, 'distance', units, locale);
  return { ...DECISION_WORDS[language], locale, distance };
}
