/** Cars that come back: two visits compared, wear over many. */
export const RETURNING = {
  'compare.nobodySaidWhere': 'Nobody has said where this pickup sat.',
  'compare.noPickup': 'No pickup sat at the {{place, place}} {{which, visit}}.',
  'compare.noPickupButMoved':
    'No pickup sat at the {{place, place}} {{which, visit}}; channel {{channel}} sat at the {{moved, place}}.',
  'compare.sensitivity':
    'At the {{place, place}} the sensitivity of the pickup is not known {{which, visit}}.',
  'compare.sensitivityOf':
    'At the {{place, place}} the sensitivity of pickup {{pickup}} is not known {{which, visit}}.',
  'compare.sensitivityOfOther':
    'At the {{place, place}} the sensitivity of pickup {{pickup}} (not {{before}}) is not known {{which, visit}}.',
  'compare.nothingMeasured':
    'Nothing could be measured at the {{place, place}} {{which, visit}}: no speed, no driving state, a faulty channel, or the recording is gone.',
  'compare.stateNotDriven': '{{state, state, capital}} nothing was measured {{which, visit}}.',
  'compare.drivenOnlyAt':
    '{{state, state, capital}}, {{low_km_h, speedNumber}} to {{high_km_h, speed}} was driven only {{which, visit}}.',
  'compare.figureNotMeasured': '{{label, order, capital}} was not measured {{which, visit}}.',
  'compare.otherMethod': 'The two visits were measured by different methods; measure both again.',
  'compare.noiseOf': 'noise of {{band}}',
  'compare.figure': '{{label, order}}',
  'compare.unchanged':
    '{{figure, capital}} at the {{place, place}} {{state, state}} at {{low_km_h, speedNumber}} to {{high_km_h, speed}}: no change shown since {{since, date}} ({{difference_db, signed}} dB, ±{{uncertainty_db, tenths}} dB).',
  'compare.louder':
    '{{figure, capital}} at the {{place, place}} {{state, state}} at {{low_km_h, speedNumber}} to {{high_km_h, speed}}: louder by {{difference_db, tenths}} dB since {{since, date}} (±{{uncertainty_db, tenths}} dB).',
  'compare.quieter':
    '{{figure, capital}} at the {{place, place}} {{state, state}} at {{low_km_h, speedNumber}} to {{high_km_h, speed}}: quieter by {{difference_db, tenths}} dB since {{since, date}} (±{{uncertainty_db, tenths}} dB).',
  'compare.standsOutMore':
    '{{figure, capital}} at the {{place, place}} {{state, state}} at {{low_km_h, speedNumber}} to {{high_km_h, speed}}: stands out more by {{difference_db, tenths}} dB since {{since, date}} (±{{uncertainty_db, tenths}} dB).',
  'compare.standsOutLess':
    '{{figure, capital}} at the {{place, place}} {{state, state}} at {{low_km_h, speedNumber}} to {{high_km_h, speed}}: stands out less by {{difference_db, tenths}} dB since {{since, date}} (±{{uncertainty_db, tenths}} dB).',
  'compare.nothingComparable': 'Nothing of these two visits can be compared.',
  'compare.nothingComparableWhy': 'Nothing of these two visits can be compared: {{reasons, notComparable}}.',
  'compare.counted':
    '{{changed}} of {{all}} figures differ by more than their uncertainty; by chance alone it would be about {{byChance}}.',
  'compare.changed': '{{first}} {{counted}}',
  'compare.noChange': 'No change is shown. {{counted}}',

  visits_zero: 'no visit',
  visits_one: 'one visit',
  visits_other: '{{count}} visits',
  'trend.tooFew_zero': 'A trend needs at least three comparable visits; there is none.',
  'trend.tooFew_one': 'A trend needs at least three comparable visits; there is one.',
  'trend.tooFew_other': 'A trend needs at least three comparable visits; there are {{count}}.',
  'trend.tooFewWithOdometer':
    'A trend needs at least three comparable visits with an odometer reading; there are {{usable}}, and {{without}} without one.',
  'trend.rate.odometer':
    '{{growth_db, tenths}} dB per {{per_km, distance}} (90 % interval {{low_db, tenths}} to {{high_db, tenths}}, {{visits}})',
  'trend.rate.date':
    '{{growth_db, tenths}} dB per year (90 % interval {{low_db, tenths}} to {{high_db, tenths}}, {{visits}})',
  'trend.perhapsChance': 'A rise of {{rate}}; among the many figures of a car this may still be chance.',
  'trend.noRise': 'No rise is shown: {{rate}}.',
  'trend.grows': 'It grows by {{rate}}.',
  'trend.reached': 'It grows by {{rate}}. The level that the shop set is reached.',
  'trend.tooFarOff':
    'It grows by {{rate}}. The level that the shop set is further off than these visits can foresee.',
  'trend.expected': 'It grows by {{rate}}. The level that the shop set is expected at {{at}} ({{range}}).',
  'trend.expectedOn':
    'It grows by {{rate}}. The level that the shop set is expected at {{at}} ({{range}}), at this mileage on {{on, date}}.',
  'trend.notBefore': 'not before {{earliest}}',
  'trend.between': 'between {{earliest}} and {{latest}}',
  'trend.at.odometer': '{{at_km, distance}}',
  'trend.at.date': '{{at, date}}',

  'wear.nothingMeasured': 'Nothing has been measured that a later visit could be compared with.',
  'wear.whatIsNeeded': 'A drive with its speed and its driving states leaves comparable measures.',
  'wear.followed': '{{label, order, capital}} at the {{place, place}} is followed.',
  'wear.rising': '{{label, order, capital}} at the {{place, place}} keeps rising.',
  'wear.notRising': '{{label, order, capital}} at the {{place, place}} shows no rise.',
  'wear.notBeenHere': 'It has not been here yet.',
  'wear.nothingNoted': 'Of the last visit ({{at, date}}) nothing is noted.',
  'wear.done': '{{done, done}} on {{at, date}}{{part}}{{note}}.',
  'wear.donePart': ': {{part, part}}',
  'wear.doneNote': ' ({{note}})',
  'wear.doneBefore': '{{done}} {{nothingNoted}}',
  'wear.noNextCheck': 'No next check was agreed.',
  'wear.lookAgainAt': 'Look again at {{at_km, distance}}.',
  'wear.lookAgainOn': 'Look again on {{on, date}}.',
  'wear.lookAgainEither': 'Look again on {{on, date}} or at {{at_km, distance}}, whichever comes first.',
  'wear.overdue': 'Overdue since {{on, date}}.',
  'wear.overdueEither': 'Overdue since {{on, date}} (or at {{at_km, distance}}).',
} as const;
