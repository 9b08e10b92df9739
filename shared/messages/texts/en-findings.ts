/** What the analysis says: summary, evidence, next places, notices. */
export const FINDINGS = {
  'summary.pinpointed': 'The {{part, part}} makes the noise ({{probability, share}}).',
  'summary.nothingAbnormal': 'Nothing abnormal was heard ({{probability, share}}).',
  'summary.likely': 'Most likely the {{part, part}} ({{probability, share}}). {{why}}',
  'summary.narrowed': 'It is one of {{number}}: {{parts, part(type: disjunction)}}.',
  'summary.notYet': 'It cannot be said yet: clamp the pickups as proposed and drive again.',

  'evidence.louderThan': ', {{difference_db, whole}} dB louder than at the {{place, place}}',
  'evidence.band':
    'Noise from {{low_Hz, hertz}} to {{high_Hz, hertz}} Hz is loudest at the {{place, place}}{{louder}}.',
  'evidence.swells.wheelModulation':
    'The noise swells and fades with the turning of the wheels, most at the {{place, place}}{{louder}}.',
  'evidence.swells.propModulation':
    'The noise swells and fades with the turning of the propshaft, most at the {{place, place}}{{louder}}.',
  'evidence.swells.engineModulation':
    'The noise swells and fades with the turning of the engine, most at the {{place, place}}{{louder}}.',
  'evidence.beats.outer':
    'The noise beats {{order, hundredths}} times per wheel turn, as damage on the outer ring of a wheel bearing makes it; clearest at the {{place, place}}{{louder}}.',
  'evidence.beats.inner':
    'The noise beats {{order, hundredths}} times per wheel turn, as damage on the inner ring of a wheel bearing makes it; clearest at the {{place, place}}{{louder}}.',
  'evidence.beats.element':
    'The noise beats {{order, hundredths}} times per wheel turn, as damage on the rolling elements of a wheel bearing makes it; clearest at the {{place, place}}{{louder}}.',
  'evidence.beats.cage':
    'The noise beats {{order, hundredths}} times per wheel turn, as damage on the cage of a wheel bearing makes it; clearest at the {{place, place}}{{louder}}.',
  'evidence.beats.unexplained':
    'The noise beats {{order, hundredths}} times per wheel turn, which no shaft or gear of this car explains but a damaged bearing does; clearest at the {{place, place}}{{louder}}.',
  'evidence.line.wheelTurning':
    'A pulse at the wheels’ turning rate stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.wheelMultiples':
    'A rumble at multiples of the wheels’ turning rate, as an uneven tyre makes it, stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.treadLines':
    'A tone {{order, tenths}} times per wheel turn, as an unevenly worn tread makes it, stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.meshFront':
    'The tone of the front ring gear’s teeth ({{order, tenths}} times per wheel turn) stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.meshRear':
    'The tone of the rear ring gear’s teeth ({{order, tenths}} times per wheel turn) stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.propTurning':
    'A pulse at the propshaft’s turning rate stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.engineUneven':
    'A beat of the engine that appears when its cylinders do not pull alike stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.engineFiring':
    'The engine’s own beat stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.line.other':
    'A tone {{order, tenths}} times per wheel turn, which may come from the {{part, part}}, stands {{over_db, whole}} dB against the noise around it at the {{place, place}}{{louder}}.',
  'evidence.torque.gears':
    'It changes by {{change_db, whole}} dB between power, engine braking and no load, as gears do.',
  'evidence.torque.shaft':
    'It changes by {{change_db, whole}} dB between power, engine braking and no load, as a loaded shaft does.',
  'evidence.torque.engine':
    'It changes by {{change_db, whole}} dB between power, engine braking and no load, as the engine’s load does.',
  'evidence.torque.tyre':
    'It hardly changes between power, engine braking and no load: it follows the speed alone, as a tyre does.',
  'evidence.sway':
    'It changes by {{change_db, whole}} dB between swaying left and right, as a wheel bearing under side load does.',
  'evidence.quiet':
    'No place stands out: the loudest, the {{place, place}}, is {{gap_db, whole}} dB above the next in its loudest band.',

  'rule.noPickupOnPart': 'No pickup has been on the {{part, part}} yet, so it is not settled.',
  'rule.axleBetweenNotHeard':
    'The axle between the hubs has not been heard first hand: the {{part, part}} may only be passing its noise on.',
  'rule.louderElsewhere':
    'Some of the noise is clearly louder at the {{place, place}} than on the {{part, part}}, so it is not settled.',
  'rule.doubtfulRecording': 'The recording itself is in doubt, so nothing is settled by it.',

  'next.axleBetween':
    'Both hubs could be hearing the axle between them: on the {{place, place}} it is heard first hand.',
  'next.soundAlike':
    'The {{part, part}} and the {{axle, part}} beside it can sound alike at the hub: this place tells which of them makes the noise.',
  'next.suspectedMost': 'The {{part, part}} is among the first suspects, and no pickup has been on it yet.',
  'next.clampAgain':
    'The {{place, place}} was louder than the {{part, part}} itself: both once more, clamped afresh, tell whether a mounting was poor.',
  'next.sideBySide':
    'The {{parts, part}} were never heard in the same run: side by side, neither a mounting nor another drive stands between them.',
  'next.parts':
    'How loud it arrives at the {{place, place}} parts the {{nearest, part}} from the {{farthest, part}}.',
  'next.onTheWay': 'Compares the level on the way to the {{place, place}}.',
  'next.against': ', against: {{parts, part}}',
  'next.firstHand': 'No pickup has heard this first hand yet: {{parts, part(type: disjunction)}}{{against}}.',
  'next.again':
    'Once more with the others in new places: here it is heard first hand whether it is {{parts, part(type: disjunction)}}{{against}}.',

  'notice.runLeftOut': 'Run {{run}} ({{file}}) was left out: {{why}}',
  'notice.ofRun': 'Run {{run}} ({{file}}): {{what}}.',
  'notice.channel': 'Run {{run}} ({{file}}): channel {{channel}} at {{place, place}} {{fault, fault}}.',
  'notice.channelLeftOut':
    'Run {{run}} ({{file}}): channel {{channel}} at {{place, place}} {{fault, fault}}. It was left out.',
  'notice.tacho': 'the tacho gave no usable pulses',
  'notice.tachoNoOrders':
    'the tacho gave no usable pulses, so only noise bands could be compared, not orders',
  'notice.tachoNoTeeth':
    'the tacho counts a shaft of which nobody knows how often it turns for one turn of a wheel (enter the final drive’s teeth, and for the engine the gear), so only noise bands could be compared, not orders',
  'notice.noSpeed': 'there is no speed, so only noise bands could be compared, not orders',
  'notice.notSharper': 'the speed could not be made sharper from the vibration ({{why, notSharper}})',
  'notice.engineHeard': 'how fast the engine turns was found from the sound of its own firing',
  'notice.speedUnusable': 'the speed readings cannot be used ({{why}})',
  'notice.segmentsUnused':
    '{{unusable}} of {{all}} segments are empty, too short, too slow or beyond the recording and were not used',
  'notice.noSuchBearing':
    'The wheel bearing’s dimensions are those of no bearing: so many elements of this diameter do not fit on the pitch circle, or the contact angle is a right one. They were not used; correct them in the vehicle’s data.',
  'notice.noStates': 'no driving states were marked, so the whole drive was taken as one',
  'notice.noSegmentUsable': 'no marked segment is usable, so the whole drive was taken as one',
  'doubt.misplaced':
    'Run {{run}}: a tone is much louder at the {{far, place}} than at the {{near, place}}, where it arises. Check that channels {{nearChannel}} and {{farChannel}} are not swapped and have the right sensitivity; nothing is settled until then.',

  'inspection.play':
    '{{place, place, capital}}: {{found, play}}, {{speaks, speaks}} (weight {{weight, tenths}}).',
  'inspection.drag':
    '{{place, place, capital}}: {{found, drag}}, {{speaks, speaks}} (weight {{weight, tenths}}).',
  'inspection.debris':
    '{{place, place, capital}}: {{found, debris}}, {{speaks, speaks}} (weight {{weight, tenths}}).',
  'inspection.tyreWear':
    '{{place, place, capital}}: {{found, tyreWear}}, {{speaks, speaks}} (weight {{weight, tenths}}).',
  'stop.play': 'Clear play at the wheel {{wheel, wheel}}: do not drive until it is mended.',
  'stop.chips':
    'Metal chips on the magnet of the drain plug ({{unit, unit}}): do not drive until it is mended.',
  'plugs.lessRefilled':
    '{{unit, unit}}: {{difference_l, volume}} less went in than came out; check the level as its maker says.',
  'plugs.moreRefilled':
    '{{unit, unit}}: {{difference_l, volume}} more went in than came out; check the level as its maker says.',
  'plugs.notRefilled':
    '{{unit, unit}}: fluid came out and none has been entered as refilled; do not drive without it.',
  'plugs.fillFirst':
    '{{unit, unit}}: the fill plug is opened before the drain plug, so that what comes out can go back in.',
  'plugs.notLookedUp':
    '{{unit, unit}}: the torque of the {{plug, plug}} is not from the maker’s data; look it up.',
  'plugs.wrongTorque':
    '{{unit, unit}}: the {{plug, plug}} has {{done_Nm, torque}} and its maker wants {{wanted_Nm, torque}}; do it again.',
} as const;
