import { NAMES } from '../../messages/texts/en-names.ts';

/** The words of the report in English; what the analysis and the decision say: `shared/messages`. */
export const en = {
  title: 'Report on a noise',
  visit: 'Visit {{number}}',
  madeOn: 'made on {{date}}',
  notKnown: 'not known',
  fact: {
    vehicle: 'Vehicle',
    plate: 'Plate',
    vin: 'VIN',
    odometer: 'Odometer',
    date: 'Date of the visit',
  },

  stop: {
    title: 'DO NOT DRIVE',
  },

  verdict: {
    title: 'What makes the noise',
    nothing: 'Nothing has been measured in this visit, so nothing is said about the source.',
    pinpointed: 'The noise is made here: {{part}}.',
    narrowed: 'The noise is made by one of these: {{parts}}. Which of them is not proved yet.',
    likely: 'Most likely the noise is made here: {{part}}. It is not proved yet.',
    notYet: 'It cannot be said yet what makes the noise.',
    nothingAbnormal: 'Nothing abnormal was heard.',
    certainty:
      'Certainty {{percent}}: of a hundred findings held this sure, about {{about}} should prove right.',
    between: 'Together they hold {{percent}} of the probability.',
    sofar: 'So far most speaks for: {{parts}}.',
    why: 'Why',
    next: 'What is measured next, to settle it: pickups go to {{places}}.',
    leftOut: 'Left out, run {{run}}, channel {{channel}} ({{place}}): {{faults}}.',
  },
  fault: {
    dead: 'no signal',
    clipped: 'overloaded',
    hum: 'mains hum',
    loose: 'loose or knocking',
    offset: 'offset',
    implausible: 'implausible level',
    corrupt: 'damaged recording',
  },

  owner: {
    title: 'What the owner says',
    none: 'No complaint was noted.',
    heard: 'Heard: {{when}}.',
    between: 'from {{low}} to {{high}}',
    from: 'from {{low}}',
    upTo: 'up to {{high}}',
    bend: {
      left: 'louder in a left bend',
      right: 'louder in a right bend',
      both: 'louder in any bend',
      noDifference: 'bends make no difference',
    },
    torque: {
      drive: 'loudest under power',
      coast: 'loudest on engine braking',
      float: 'loudest without load',
      noDifference: 'power makes no difference',
    },
    laden: { louder: 'louder when laden', noDifference: 'load makes no difference' },
    warmth: { cold: 'when cold', warm: 'when warm', noDifference: 'cold or warm alike' },
    surface: { changes: 'changes with the road’s surface', noDifference: 'on any surface alike' },
    standing: { yes: 'also when standing', no: 'not when standing' },
  },

  done: {
    title: 'What was done',
    none: 'No drive was recorded.',
    run: 'Run {{number}}, {{date}}, {{duration}}: pickups at {{places}}.',
    driven: 'Driven {{states}}{{speeds}}.',
    speeds: ', {{low}} to {{high}}',
    noPickup: 'no known place',
    more: 'and {{count}} more runs.',
    method:
      'Vibration pickups were clamped to the running gear and recorded on the road; the same recording at every place shows where the noise is made and where it is only heard.',
  },
  state: NAMES.state,

  picture: {
    title: 'Where it is loud',
    label: 'The vehicle from above with the level at every place',
    front: 'Front',
    sentence:
      'Numbers: how many dB quieter than the loudest place (0). About 6 dB less is half the vibration. The larger and darker the mark, the louder.',
    unheard: 'A number with ≤ was not heard above the other noise.',
    places: 'Circles: where the pickups sat. Their levels cannot be put on one scale.',
    none: 'No pickup has been placed yet.',
  },
  levels: {
    title: 'Level at the places',
    loudest: '0 dB, loudest',
    of: {
      orders: 'the tone that speaks most for the finding',
      envelope: 'the beat that speaks most for the finding',
      band: 'the noise that speaks most for the finding',
      overall: 'the whole vibration',
    },
    sentence: 'Compared is {{what}}, in dB against the loudest place: {{place}}.',
    gap: 'The next place is {{gap}} quieter: {{place}}.',
  },
  spectrum: {
    title: 'The tones that were heard',
    axis: 'Times per turn of a wheel',
    level: 'dB re 1 µm/s²',
    relative: 'dB re full scale',
    loud: '{{place}} (solid)',
    quiet: '{{place}} (dashed)',
    sentence:
      'Each peak is a tone. Where the marks stand, the part in question must be heard if it makes the noise: {{part}}.',
    sentenceAll: 'Each peak is a tone; the mark shows the one that speaks most for the finding.',
    sentenceNone: 'Each peak is a tone; none of them belongs to the part in question for certain.',
    marked: 'Marked: {{marks}}.',
  },
  comparison: {
    title: 'Compared with the visit of {{date}}',
    axis: 'Difference in dB: quieter to the left of 0, louder to the right; the bar is the 95 % range',
    row: '{{figure}}, {{place}}',
    at: '{{state}}, {{low}} to {{high}}',
    change: {
      louder: 'louder',
      quieter: 'quieter',
      withinUncertainty: 'no change shown',
    },
    sentence:
      '{{changed}} of {{all}} figures measured alike differ by more than their uncertainty; by chance alone it would be about {{chance}}.',
    none: 'Nothing of the visit of {{date}} can be compared with this one: {{reasons}}.',
    reason: {
      placement: 'the pickups sat elsewhere',
      sensitivity: 'a sensitivity is not known',
      state: 'it was driven otherwise',
      speedBand: 'the speeds differ',
      method: 'it was measured by another method',
      notMeasured: 'there are no measures',
    },
    band: 'noise {{band}}',
  },

  options: {
    title: 'The options',
    none: 'The options and their costs have not been worked out yet.',
    about: 'They concern: {{part}}.',
    replace: 'Replace',
    watch: 'Service and watch',
    test: 'More testing',
    nothing: 'Do nothing',
    chosen: 'chosen',
    notOffered: 'Not offered: do not drive.',
    fits: {
      yes: 'Fits what was found.',
      notKnown: 'Rests on what is not known yet.',
      advisedAgainst: 'Advised against.',
    },
    now: 'Now',
    noPrice: 'no price yet',
    noExpected: 'no figure',
    overHorizon: 'Expected over {{distance}}',
    reckoned: 'How it is reckoned',
    risk: 'Risk',
    moreParts: '{{count}} more parts',
    reason: 'Reason given: {{reason}}',
    carriedOut: 'It has been carried out.',
  },

  inspection: {
    title: 'Inspection by eye and hand',
    none: 'No inspection has been noted.',
    wheel: 'Wheel {{wheel}}: {{found}}.',
    unit: '{{unit}}: {{found}}.',
    play: NAMES.play,
    drag: NAMES.drag,
    debris: NAMES.debris,
    tyreWear: NAMES.tyreWear,
    drained: '{{volume}} drained',
    refilled: '{{volume}} refilled',
    fluid: 'fluid: {{fluid}}',
    fillPlug: 'fill plug {{torque}}',
    drainPlug: 'drain plug {{torque}}',
    wanted: '{{done}} (maker’s data {{wanted}})',
    notLookedUp: '{{done}} (maker’s data not looked up)',
  },

  next: {
    title: 'Next check',
    on: 'On {{date}}.',
    at: 'At {{distance}} on the odometer.',
    either: 'On {{date}} or at {{distance}} on the odometer, whichever comes first.',
    none: 'No next check has been agreed.',
    sooner: 'Sooner when the noise changes or grows.',
  },
  stillOpen: 'Still open',
  caution: {
    title: 'Please mind',
    worse:
      'If the noise grows suddenly, if something shakes, smells hot or leaks: stop at a safe place and have it looked at before driving on.',
    play: 'A bearing with play, or metal chips on a drain plug’s magnet: do not drive.',
    maker:
      'Torques, fluids and procedures come from the maker’s service information; local law and licensed practice come first.',
    highVoltage: 'High-voltage parts of the drive are touched only by those licensed for them.',
    basis:
      'This report tells what was measured and seen on the day of the visit. It is no general inspection of the vehicle.',
  },
  sign: {
    technician: 'Technician, date',
    owner: 'Owner, date: the report has been explained to me',
  },
  made: 'Made with Rumblepath.',

  wheel: NAMES.wheel,
} as const;
