/** The checks of the rigging before the drive: what to do, and what came of it. */
export const CHECKS = {
  'check.quiet': 'Quiet, please: the noise is being measured.',
  'check.tap.ask': 'Tap beside the pickup at the {{place, place}}.',
  'check.tap.askChannel': 'Tap beside the pickup of channel {{channel}}.',
  'check.tap.askAgain': '{{unclear}} {{ask}}',
  'check.tap.none': 'No tap has been felt on any channel: check clamps and leads.',
  'check.tap.tooWeak': 'The tap was too weak to tell the channels apart.',
  'check.tap.alike': 'Channels {{one}} and {{other}} felt the tap alike.',
  'check.tap.right': 'Channel {{channel}} answered, as it should: {{place, place}}.',
  'check.tap.rightChannel': 'Channel {{channel}} answered, as it should.',
  'check.tap.other':
    'Channel {{answered}} answered, not {{channel}}: its lead comes from the {{place, place}}. Swap the leads, or the channels in the placement.',
  'check.tap.otherChannel':
    'Channel {{answered}} answered, not {{channel}}. Swap the leads, or the channels in the placement.',

  'check.noiseFloor.ask': 'Engine off, nobody moves: the noise floor is being measured.',
  'check.noiseFloor.good': 'All channels are quiet at rest.',
  'check.noiseFloor.doubtful': 'The noise floor of {{channels}} needs a look.',
  'check.noiseFloor.dead': 'Channel {{channel}} gives nothing at all: check its lead and supply.',
  'check.noiseFloor.high': 'Channel {{channel}} is noisy at rest ({{level}}): check lead, earth and gain.',
  'check.noiseFloor.quiet': 'Channel {{channel}} is quiet ({{level}}).',
  'level.fullScale': '{{level_db, whole}} dB re full scale',
  'level.acceleration': '{{level_db, whole}} dB re 1e-6 m/s²',

  'check.lead.ask': 'Move every lead gently, one after the other, from the pickup to the interface.',
  'check.lead.good': 'All leads are sound.',
  'check.lead.doubtful': 'The leads of {{channels}} need a look.',
  'check.lead.faulty': 'Channel {{channel}} {{faults, faults}}.',
  'check.lead.sound': 'Channel {{channel}} is sound.',

  'check.polarity.ask':
    'Tap on top of the pickup of channel {{channel}}, towards its base, with a moment between the taps.',
  'check.polarity.positive': 'Channel {{channel}} points the usual way: a push towards its base is positive.',
  'check.polarity.negative':
    'Channel {{channel}} is turned round: its lead is wired the other way, or it is mounted upside down. Levels are right all the same; compare no phases with the others.',
  'check.polarity.none': 'No tap has been felt on channel {{channel}}: check its clamp and lead.',
  'check.polarity.disagree': 'The taps on channel {{channel}} disagree: tap shortly and straight from above.',

  'check.calibration.ask': 'Hold the pickup of channel {{channel}} firmly on the running shaker.',
  'check.calibration.noNumbers': 'Channel {{channel}} gives no numbers: check the interface.',
  'check.calibration.clipped':
    'Channel {{channel}} is overdriven by the shaker: lower its gain and try again.',
  'check.calibration.noTone':
    'Channel {{channel}} hears no tone: switch the shaker on, and hold the pickup firmly on the shaker and try again.',
  'check.calibration.wrongFrequency':
    'Channel {{channel}} hears {{frequency_Hz, tenths}} Hz, and a reference shaker gives {{reference_Hz, tenths}} Hz: this is another tone.',
  'check.calibration.unsteady':
    'The tone on channel {{channel}} is not steady: hold the pickup firmly on the shaker and try again.',
  'check.calibration.impure':
    'There is more than the tone on channel {{channel}}: keep away from running machines, and hold the pickup firmly on the shaker and try again.',
  'check.calibration.calibrated':
    'Channel {{channel}}: full scale is {{fullScale_m_s2, significant}} m/s² with this interface.',
} as const;
