/** The road card: read before the drive, spoken during it. */
export const ROAD = {
  'manoeuvre.steady.title': 'Hold {{speed, speed}} with light throttle',
  'manoeuvre.steady.why':
    'Every line of the running gear stands still at a held speed; how the level grows from speed to speed tells tyres from the rest.',
  'manoeuvre.steady.say': 'Hold {{speed, spokenSpeed}} with a light foot.',
  'manoeuvre.drive.title': 'Pull from {{speed, speed}} to {{end, speed}} in a high gear',
  'manoeuvre.drive.why':
    'Torque forward loads the drive side of the teeth: a gear changes its sound, a bearing or a tyre hardly.',
  'manoeuvre.drive.say': 'From {{speed, spokenSpeed}}, pull firmly up to {{end, spokenSpeed}}.',
  'manoeuvre.coast.title': 'Lift off at {{speed, speed}}, let it slow to {{end, speed}} in gear',
  'manoeuvre.coast.why':
    'Engine braking loads the other side of the teeth: a whine that comes or goes here is a gear.',
  'manoeuvre.coast.say': 'Lift off and stay in gear, down to {{end, spokenSpeed}}.',
  'manoeuvre.coast.caution': 'Nobody close behind: there is no brake light.',
  'manoeuvre.float.title': 'Float at {{speed, speed}}: neither pulling nor braking',
  'manoeuvre.float.why':
    'Without torque a gear rattles or falls silent; what stays is a bearing, a tyre or the road.',
  'manoeuvre.float.say': 'At {{speed, spokenSpeed}}, just enough throttle to neither pull nor brake.',
  'manoeuvre.swayLeft.title': 'Gentle right-hand bends at {{speed, speed}}: load on the left',
  'manoeuvre.swayLeft.why':
    'Loads the left wheels: a worn bearing there grows louder, and one on the other side quieter.',
  'manoeuvre.swayLeft.say': 'At {{speed, spokenSpeed}}, gentle bends to the right.',
  'manoeuvre.swayRight.title': 'Gentle left-hand bends at {{speed, speed}}: load on the right',
  'manoeuvre.swayRight.why':
    'Loads the right wheels: a worn bearing there grows louder, and one on the other side quieter.',
  'manoeuvre.swayRight.say': 'At {{speed, spokenSpeed}}, gentle bends to the left.',
  'manoeuvre.sway.caution': 'A wide, empty, dry road; stay in the lane; gentle, as in a long bend.',
  'manoeuvre.otherGear.title': 'Hold {{speed, speed}} one gear lower',
  'manoeuvre.otherGear.why':
    'The road parts turn as before and the engine faster: what follows the engine is not the running gear.',
  'manoeuvre.otherGear.say': 'Stay at {{speed, spokenSpeed}} and take one gear lower.',
  'manoeuvre.otherGear.caution':
    'It counts once the gear is known: from the vehicle’s bus, or keyed in by the passenger.',
  'manoeuvre.neutralCoast.title': 'Roll in neutral from {{speed, speed}}',
  'manoeuvre.neutralCoast.why':
    'With the engine idling and no torque anywhere, what is still heard turns with the wheels.',
  'manoeuvre.neutralCoast.say': 'Into neutral and let it roll. Brakes and steering stay ready.',
  'manoeuvre.neutralCoast.lawful':
    'Only where it is lawful, on a straight and empty road, never downhill; the engine stays on.',
  'manoeuvre.neutralCoast.maker':
    'Some automatic and electric drives must not roll in neutral: the maker’s instructions decide.',

  'road.madeFromFindings': 'Made from what the measurement has left open: {{candidates, candidate}}.',
  'road.madeFromNothing':
    'Nothing is ruled out yet ({{candidates, candidate}}), and the owner gave no speed: the usual range is driven.',
  'road.madeFromComplaint':
    'Made from the complaint: heard at {{heard}}. Still open: {{candidates, candidate}}.',
  'road.heardAt': '{{speed, speed}}',
  'road.heardFromTo': '{{from, speed}} to {{to, speed}}',
  'road.missing': 'Still missing: {{title}}. {{why}}',
  'road.more': '{{seconds, whole}} s more of: {{title}} ({{low, speed}} to {{high, speed}} counts).',

  'prompt.hold': 'Good, hold it.',
  'prompt.goOn': 'Good, go on.',
  'prompt.done': 'Done.',
  'prompt.last': 'That was the last one. Thank you.',
  'prompt.notRecorded': 'Nothing is being recorded.',
  'prompt.onceMore': 'Once more. {{say}}',
  'prompt.backTo': 'Back to {{speed, spokenSpeed}}.',
} as const;
