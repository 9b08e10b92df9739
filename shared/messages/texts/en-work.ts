/** The visit's work: cautions, what is not known yet, reminders. */
export const WORK = {
  'caution.passenger': 'The passenger operates this program, never the driver.',
  'caution.leadsTied':
    'Leads are tied and their tails trimmed, clear of wheels, shafts, brakes, steering and exhaust over full travel.',
  'caution.stands':
    'The vehicle stands on stands or a lift as its maker says; nobody is beneath one that can move.',
  'caution.turningWheels':
    'Wheels that turn on a lift are a hazard of their own: hands, hair, cloth and leads keep away.',
  'caution.highVoltage':
    'High-voltage parts of an electric or hybrid drive are touched only by those licensed for them.',
  'caution.recheck': 'After the first metres we stop at a safe place and look at clamps and leads again.',
  'caution.road':
    'The road, the weather and the law allow each manoeuvre; the driver may refuse any of them.',

  'skipped.intake':
    'The intake was skipped: whatever is known of complaint and vehicle makes the diagnosis surer.',
  'skipped.rigging': 'The rigging was skipped: it is not shown which channel sits where.',
  'skipped.roadCard':
    'The road card was skipped: the manoeuvres that separate the candidates may be missing.',
  'skipped.drive': 'The drive was skipped: nothing has been measured.',
  'skipped.findings': 'The findings were skipped: what the measurement says has not been looked at.',
  'skipped.inspection':
    'The inspection was skipped: play and drain plug decide whether the vehicle may be driven at all.',
  'skipped.decision': 'The decision was skipped: the owner has no options side by side.',
  'skipped.report': 'The report was skipped: the owner has nothing in hand.',

  'reminder.odometerNotRead': 'The odometer has not been read: growth over distance will not be known.',
  'reminder.odometerBack': 'The odometer shows less than at the last visit: read it again.',
  'reminder.notKnown_one': 'One thing is not known yet. {{name}}: {{adds}}',
  'reminder.notKnown_other': '{{count}} things are not known yet. {{name}}: {{adds}}',
  'reminder.nextCheck': 'Watching needs a date or a mileage at which to look again.',
  'reminder.cautionsOpen': '{{open}} of {{all}} cautions are not ticked yet.',
  'reminder.swapLeads': 'The tap check answered on another channel: swap the leads of {{channels}}.',
  'reminder.notTapped': 'Not tapped yet: {{channels}}. A swapped lead would name the wrong side.',
  'reminder.notMeasured': 'The {{check, check}} has not been measured.',
  'reminder.leftDoubt': 'The {{check, check}} left a doubt: look at it again.',
  'reminder.relative':
    'Relative levels on {{channels}}: without a known sensitivity they cannot be compared with another visit.',
  'reminder.axlePressure.front':
    'The front tyres differ by {{difference_kPa, pressure}}: set them before the drive.',
  'reminder.axlePressure.rear':
    'The rear tyres differ by {{difference_kPa, pressure}}: set them before the drive.',
  'reminder.oldTyres': 'Tyres of more than {{years}} years: {{wheels, wheel}}.',
  channels_one: 'channel {{list, listed}}',
  channels_other: 'channels {{list, listed}}',

  'missing.layout.name': 'Driven wheels',
  'missing.layout.adds':
    'It decides which parts there are at all: an axle without drive has no differential that could be heard.',
  'missing.tyreSize.name': 'Tyre size',
  'missing.tyreSize.adds':
    'It gives the rolling circumference; without it speed cannot be turned into wheel turns, and no order of the running gear has its place.',
  'missing.ownerWords.name': 'Owner’s words',
  'missing.ownerWords.adds': 'They give the candidates their first, weak order, and the report quotes them.',
  'missing.heardSpeeds.name': 'Speeds at which it is heard',
  'missing.heardSpeeds.adds': 'The road card is driven where the noise is, instead of everywhere.',
  'missing.bend.name': 'Louder in a bend',
  'missing.bend.adds': 'A bend loads one side: it separates wheel bearings from gears, and left from right.',
  'missing.torque.name': 'Pulling, lifting off or rolling',
  'missing.torque.adds': 'Gears answer to the direction of the torque, bearings and tyres hardly.',
  'missing.rearTeeth.name': 'Rear final drive',
  'missing.rearTeeth.adds':
    'Tooth counts put the gear mesh on its exact order; without them a whine cannot be tied to this axle. The ratio alone still tells how fast the propshaft turns.',
  'missing.frontTeeth.name': 'Front final drive',
  'missing.frontTeeth.adds':
    'Tooth counts put the gear mesh on its exact order; without them a whine cannot be tied to this axle. The ratio alone still tells how fast the propshaft turns.',
  'missing.wheelBearing.name': 'Wheel bearing geometry',
  'missing.wheelBearing.adds':
    'It places the four defect rates; without it a whole family of plausible rates is searched, and less is proved.',
  'missing.electricDrive.name': 'Electric drive',
  'missing.electricDrive.adds':
    'An electric drive has no firing but a reduction of its own, and high-voltage parts to keep away from.',
  'missing.cylinders.name': 'Cylinders',
  'missing.cylinders.adds':
    'They place the firing order, so that the engine is not taken for the running gear.',
  'missing.gearRatios.name': 'Gearbox ratios',
  'missing.gearRatios.adds':
    'With the gear that is driven in they tie engine speed to road speed and separate engine from road noise.',
  'missing.standing.name': 'Heard while standing',
  'missing.standing.adds':
    'What is heard while the vehicle stands comes from the engine or its accessories, not from the running gear.',
  'missing.surface.name': 'Changes with the road’s surface',
  'missing.surface.adds': 'Tyres change their sound with the surface; bearings and gears do not.',
  'missing.laden.name': 'Louder when laden',
  'missing.laden.adds': 'Load on an axle speaks for its bearings and tyres.',
  'missing.warmth.name': 'Cold or warm',
  'missing.warmth.adds':
    'It tells whether to measure at once or after a warm-up; otherwise the noise may stay away during the drive.',
  'missing.odometer.name': 'Odometer',
  'missing.odometer.adds': 'Without it there is no growth per distance and no next check by mileage.',
  'missing.pressures.name': 'Tyre pressures',
  'missing.pressures.adds':
    'A soft tyre rumbles like a bearing and rolls a shorter way; uneven pressures are found before a part is bought.',
  'missing.treads.name': 'Tread depths',
  'missing.treads.adds':
    'Worn tread takes up to 2.5 % off the rolling circumference, and uneven tread speaks for the tyre.',
  'missing.tyreAges.name': 'Age of the tyres',
  'missing.tyreAges.adds': 'Old tyres grow hard and loud; their age weighs tyre against bearing.',
  'missing.vin.name': 'VIN',
  'missing.vin.adds': 'It finds the maker’s data and knows the vehicle again under another plate.',
  'missing.plate.name': 'Plate',
  'missing.plate.adds': 'It finds the vehicle when it comes back.',
} as const;
