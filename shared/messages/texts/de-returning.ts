import type { SameKeys } from '../same-keys.ts';
import type { RETURNING as en } from './en-returning.ts';

export const RETURNING: SameKeys<typeof en> = {
  'compare.nobodySaidWhere': 'Niemand hat gesagt, wo dieser Aufnehmer saß.',
  'compare.noPickup': 'Hier saß {{which, visit}} kein Aufnehmer: {{place, place}}.',
  'compare.noPickupButMoved':
    'Hier saß {{which, visit}} kein Aufnehmer: {{place, place}}; Kanal {{channel}} saß hier: {{moved, place}}.',
  'compare.sensitivity':
    'Die Empfindlichkeit des Aufnehmers ist {{which, visit}} nicht bekannt: {{place, place}}.',
  'compare.sensitivityOf':
    'Die Empfindlichkeit von Aufnehmer {{pickup}} ist {{which, visit}} nicht bekannt: {{place, place}}.',
  'compare.sensitivityOfOther':
    'Die Empfindlichkeit von Aufnehmer {{pickup}} (nicht {{before}}) ist {{which, visit}} nicht bekannt: {{place, place}}.',
  'compare.nothingMeasured':
    'Hier ließ sich {{which, visit}} nichts messen ({{place, place}}): keine Geschwindigkeit, kein Fahrzustand, ein fehlerhafter Kanal, oder die Aufnahme ist fort.',
  'compare.stateNotDriven': '{{state, state, capital}} wurde {{which, visit}} nichts gemessen.',
  'compare.drivenOnlyAt':
    '{{state, state, capital}}, {{low_km_h, speedNumber}} bis {{high_km_h, speed}} wurde nur {{which, visit}} gefahren.',
  'compare.figureNotMeasured': '{{label, order, capital}}: {{which, visit}} nicht gemessen.',
  'compare.otherMethod': 'Die beiden Besuche wurden nach verschiedenen Verfahren gemessen; beide neu messen.',
  'compare.noiseOf': 'Rauschen {{band}}',
  'compare.figure': '{{label, order}}',
  'compare.unchanged':
    '{{figure, capital}}, {{place, place}}, {{state, state}} bei {{low_km_h, speedNumber}} bis {{high_km_h, speed}}: keine Änderung gezeigt seit {{since, date}} ({{difference_db, signed}} dB, ±{{uncertainty_db, tenths}} dB).',
  'compare.louder':
    '{{figure, capital}}, {{place, place}}, {{state, state}} bei {{low_km_h, speedNumber}} bis {{high_km_h, speed}}: seit {{since, date}} um {{difference_db, tenths}} dB lauter (±{{uncertainty_db, tenths}} dB).',
  'compare.quieter':
    '{{figure, capital}}, {{place, place}}, {{state, state}} bei {{low_km_h, speedNumber}} bis {{high_km_h, speed}}: seit {{since, date}} um {{difference_db, tenths}} dB leiser (±{{uncertainty_db, tenths}} dB).',
  'compare.standsOutMore':
    '{{figure, capital}}, {{place, place}}, {{state, state}} bei {{low_km_h, speedNumber}} bis {{high_km_h, speed}}: hebt sich seit {{since, date}} um {{difference_db, tenths}} dB stärker ab (±{{uncertainty_db, tenths}} dB).',
  'compare.standsOutLess':
    '{{figure, capital}}, {{place, place}}, {{state, state}} bei {{low_km_h, speedNumber}} bis {{high_km_h, speed}}: hebt sich seit {{since, date}} um {{difference_db, tenths}} dB schwächer ab (±{{uncertainty_db, tenths}} dB).',
  'compare.nothingComparable': 'Von diesen beiden Besuchen lässt sich nichts vergleichen.',
  'compare.nothingComparableWhy':
    'Von diesen beiden Besuchen lässt sich nichts vergleichen: {{reasons, notComparable}}.',
  'compare.counted':
    '{{changed}} von {{all}} Werten unterscheiden sich um mehr als ihre Unsicherheit; durch Zufall allein wären es etwa {{byChance}}.',
  'compare.changed': '{{first}} {{counted}}',
  'compare.noChange': 'Es zeigt sich keine Änderung. {{counted}}',

  visits_zero: 'kein Besuch',
  visits_one: 'ein Besuch',
  visits_other: '{{count}} Besuche',
  'trend.tooFew_zero': 'Ein Verlauf braucht mindestens drei vergleichbare Besuche; es gibt noch keinen.',
  'trend.tooFew_one': 'Ein Verlauf braucht mindestens drei vergleichbare Besuche; es gibt einen.',
  'trend.tooFew_other': 'Ein Verlauf braucht mindestens drei vergleichbare Besuche; es gibt {{count}}.',
  'trend.tooFewWithOdometer':
    'Ein Verlauf braucht mindestens drei vergleichbare Besuche mit Kilometerstand; es gibt {{usable}}, dazu {{without}} ohne.',
  'trend.rate.odometer':
    '{{growth_db, tenths}} dB je {{per_km, distance}} (90-%-Bereich {{low_db, tenths}} bis {{high_db, tenths}}, {{visits}})',
  'trend.rate.date':
    '{{growth_db, tenths}} dB je Jahr (90-%-Bereich {{low_db, tenths}} bis {{high_db, tenths}}, {{visits}})',
  'trend.perhapsChance':
    'Ein Anstieg von {{rate}}; unter den vielen Werten eines Fahrzeugs kann das noch Zufall sein.',
  'trend.noRise': 'Es zeigt sich kein Anstieg: {{rate}}.',
  'trend.grows': 'Es wächst um {{rate}}.',
  'trend.reached': 'Es wächst um {{rate}}. Der von der Werkstatt gesetzte Pegel ist erreicht.',
  'trend.tooFarOff':
    'Es wächst um {{rate}}. Der von der Werkstatt gesetzte Pegel liegt weiter voraus, als diese Besuche vorhersehen lassen.',
  'trend.expected':
    'Es wächst um {{rate}}. Der von der Werkstatt gesetzte Pegel ist zu erwarten: {{at}} ({{range}}).',
  'trend.expectedOn':
    'Es wächst um {{rate}}. Der von der Werkstatt gesetzte Pegel ist zu erwarten: {{at}} ({{range}}), bei dieser Fahrleistung am {{on, date}}.',
  'trend.notBefore': 'nicht vor {{earliest}}',
  'trend.between': 'zwischen {{earliest}} und {{latest}}',
  'trend.at.odometer': '{{at_km, distance}}',
  'trend.at.date': '{{at, date}}',

  'wear.nothingMeasured': 'Es ist nichts gemessen, womit sich ein späterer Besuch vergleichen ließe.',
  'wear.whatIsNeeded': 'Eine Fahrt mit Geschwindigkeit und Fahrzuständen hinterlässt vergleichbare Werte.',
  'wear.followed': 'Verfolgt wird: {{label, order, capital}}, {{place, place}}.',
  'wear.rising': 'Es steigt weiter: {{label, order, capital}}, {{place, place}}.',
  'wear.notRising': 'Es zeigt keinen Anstieg: {{label, order, capital}}, {{place, place}}.',
  'wear.notBeenHere': 'Es war noch nicht hier.',
  'wear.nothingNoted': 'Zum letzten Besuch ({{at, date}}) ist nichts notiert.',
  'wear.done': '{{done, done}} am {{at, date}}{{part}}{{note}}.',
  'wear.donePart': ': {{part, part}}',
  'wear.doneNote': ' ({{note}})',
  'wear.doneBefore': '{{done}} {{nothingNoted}}',
  'wear.noNextCheck': 'Es ist keine nächste Prüfung vereinbart.',
  'wear.lookAgainAt': 'Wieder nachsehen bei {{at_km, distance}}.',
  'wear.lookAgainOn': 'Wieder nachsehen am {{on, date}}.',
  'wear.lookAgainEither':
    'Wieder nachsehen am {{on, date}} oder bei {{at_km, distance}}, je nachdem, was zuerst kommt.',
  'wear.overdue': 'Überfällig seit {{on, date}}.',
  'wear.overdueEither': 'Überfällig seit {{on, date}} (oder bei {{at_km, distance}}).',
};
