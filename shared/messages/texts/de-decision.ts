import type { SameKeys } from '../same-keys.ts';
import type { DECISION as en } from './en-decision.ts';

export const DECISION: SameKeys<typeof en> = {
  'sum.labour': 'Arbeit',
  'sum.net': 'Netto',
  'sum.tax': 'Steuer',
  'sum.payNow': 'Jetzt zu zahlen',
  'sum.ifItComesToIt': 'Falls es dazu kommt',
  'sum.expected': 'Erwartete Kosten',
  'sum.chance.technician':
    'Wahrscheinlichkeit innerhalb von {{horizon_km, distance}} (eigene Schätzung der Fachkraft)',
  'sum.chance.shopHistory':
    'Wahrscheinlichkeit innerhalb von {{horizon_km, distance}} (eigene Erfahrung dieser Werkstatt)',

  'reckoning.part': '{{quantity, trimmed}} × {{price, money}}',
  'reckoning.hours': '{{hours, trimmed}} h × {{rate, money}}',
  'reckoning.share': '{{percent, trimmed}} % von {{amount, money}}',
  'reckoning.sum': '{{amounts, moneySum}}',
  'reckoning.replacementAndMore': '{{replacement, money}} Ersatz + {{more, money}} darüber hinaus',

  'unpriced.noRate': 'Der Stundensatz ist nicht eingestellt; daher hat diese Möglichkeit noch keinen Preis.',
  'unpriced.noTax': 'Die Steuer ist nicht eingestellt: Die Preise verstehen sich ohne sie.',
  'unpriced.noReplacement':
    'Was ein späterer Ersatz kostet, ist nicht bekannt: Zuerst die Möglichkeit „Ersetzen“ ausfüllen.',
  'unpriced.noChanceOfFailure':
    'Wie wahrscheinlich es innerhalb von {{horizon_km, distance}} wieder ausfällt, ist nicht angegeben, und diese Werkstatt hat keine eigene Erfahrung damit: Die Kosten liegen zwischen {{low, money}} und {{high, money}}.',
  'unpriced.noChanceOfReplacement':
    'Wie wahrscheinlich es innerhalb von {{horizon_km, distance}} ersetzt werden muss, ist nicht angegeben, und diese Werkstatt hat keine eigene Erfahrung damit: Die Kosten liegen zwischen {{low, money}} und {{high, money}}.',

  'risk.debrisCoarse': 'Der Abrieb ist gröber als feine Paste: Der Verschleiß hat ernsthaft begonnen.',
  'risk.debrisUnknown': 'Die Ablassschraube hat noch niemand angesehen.',
  'risk.playFound': 'Es ist bereits Spiel da.',
  'risk.playUnknown': 'Auf Spiel hat noch niemand geprüft.',
  'risk.risen': 'Der Pegel ist seit dem letzten Besuch gestiegen.',
  'risk.riseUnknown': 'Ob der Pegel steigt, ist nicht bekannt: Es gibt keinen früheren Besuch zum Vergleich.',
  'risk.replaceProved': 'Die Ursache ist nachgewiesen: Es bleibt nur das Risiko der Reparatur selbst.',
  'risk.replaceUnproved':
    'Die Ursache ist noch nicht nachgewiesen: Das Teil wird vielleicht umsonst gekauft, und das Geräusch bleibt.',
  'risk.watch':
    'Verschleiß heilt nicht: Das Teil wird zum vereinbarten Termin oder Kilometerstand wieder geprüft, früher, wenn sich das Geräusch ändert.',
  'risk.testProved': 'Die Ursache ist schon nachgewiesen: Weitere Versuche kosten Zeit und sagen wenig.',
  'risk.testUnproved': 'Es kostet Zeit, und kein Teil wird auf Verdacht gekauft.',
  'risk.nothing':
    'Niemand sieht mehr nach: Wird ein Teil schlechter, merkt man es spät, vielleicht erst auf der Straße.',

  'history.tooShort_zero':
    'Diese Werkstatt weiß von keiner ihrer Entscheidungen dieser Art, wie sie ausging; es braucht {{needed}}, bevor sie etwas sagen.',
  'history.tooShort_one':
    'Diese Werkstatt weiß erst von einer ihrer Entscheidungen dieser Art, wie sie ausging; es braucht {{needed}}, bevor sie etwas sagen.',
  'history.tooShort_other':
    'Diese Werkstatt weiß erst von {{count}} ihrer Entscheidungen dieser Art, wie sie ausgingen; es braucht {{needed}}, bevor sie etwas sagen.',
  'history.known':
    '{{repaired}} von {{known}} Fahrzeugen dieser Werkstatt kamen innerhalb der Strecke zur Reparatur wieder.',
};
