/** The arithmetic of the options and what each risks. */
export const DECISION = {
  'sum.labour': 'Labour',
  'sum.net': 'Net',
  'sum.tax': 'Tax',
  'sum.payNow': 'To be paid now',
  'sum.ifItComesToIt': 'If it comes to it',
  'sum.expected': 'Expected cost',
  'sum.chance.technician': 'Chance within {{horizon_km, distance}} (the technician’s own estimate)',
  'sum.chance.shopHistory': 'Chance within {{horizon_km, distance}} (this shop’s own history)',

  'reckoning.part': '{{quantity, trimmed}} × {{price, money}}',
  'reckoning.hours': '{{hours, trimmed}} h × {{rate, money}}',
  'reckoning.share': '{{percent, trimmed}} % of {{amount, money}}',
  'reckoning.sum': '{{amounts, moneySum}}',
  'reckoning.replacementAndMore': '{{replacement, money}} replacement + {{more, money}} beyond it',

  'unpriced.noRate': 'The labour rate is not set, so this option has no price yet.',
  'unpriced.noTax': 'The tax is not set: prices stand without it.',
  'unpriced.noReplacement':
    'What a later replacement costs is not known: fill in the option to replace first.',
  'unpriced.noChanceOfFailure':
    'No chance that it fails again within {{horizon_km, distance}} has been given and this shop has no history of it: the cost lies between {{low, money}} and {{high, money}}.',
  'unpriced.noChanceOfReplacement':
    'No chance that it must be replaced within {{horizon_km, distance}} has been given and this shop has no history of it: the cost lies between {{low, money}} and {{high, money}}.',

  'risk.debrisCoarse': 'The debris is coarser than fine paste: the wear has begun in earnest.',
  'risk.debrisUnknown': 'Nobody has looked at the drain plug yet.',
  'risk.playFound': 'There is play already.',
  'risk.playUnknown': 'Nobody has felt for play yet.',
  'risk.risen': 'The level has risen since the last visit.',
  'risk.riseUnknown': 'Whether the level rises is not known: there is no earlier visit to compare with.',
  'risk.replaceProved': 'The source is proved: the risk left is that of the repair itself.',
  'risk.replaceUnproved':
    'The source is not proved yet: the part may be bought in vain, and the noise may stay.',
  'risk.watch':
    'Wear does not heal: the part is looked at again at the agreed date or mileage, sooner when the noise changes.',
  'risk.testProved': 'The source is proved already: more tests would cost time and tell little.',
  'risk.testUnproved': 'It costs time, and no part is bought on a guess.',
  'risk.nothing': 'Nobody looks again: a part that gets worse is noticed late, perhaps on the road.',

  'history.tooShort_zero':
    'This shop knows the end of none of its own decisions of this kind; {{needed}} are needed before they say anything.',
  'history.tooShort_one':
    'This shop knows the end of only one of its own decisions of this kind; {{needed}} are needed before they say anything.',
  'history.tooShort_other':
    'This shop knows the end of only {{count}} of its own decisions of this kind; {{needed}} are needed before they say anything.',
  'history.known':
    '{{repaired}} of {{known}} vehicles of this shop came back for the repair within the horizon.',
} as const;
