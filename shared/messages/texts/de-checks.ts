import type { SameKeys } from '../same-keys.ts';
import type { CHECKS as en } from './en-checks.ts';

export const CHECKS: SameKeys<typeof en> = {
  'check.quiet': 'Bitte Ruhe: Das Grundrauschen wird gemessen.',
  'check.tap.ask': 'Neben diesen Aufnehmer klopfen: {{place, place}}.',
  'check.tap.askChannel': 'Neben den Aufnehmer von Kanal {{channel}} klopfen.',
  'check.tap.askAgain': '{{unclear}} {{ask}}',
  'check.tap.none': 'Auf keinem Kanal war ein Klopfen zu spüren: Klemmen und Leitungen prüfen.',
  'check.tap.tooWeak': 'Das Klopfen war zu schwach, um die Kanäle zu unterscheiden.',
  'check.tap.alike': 'Die Kanäle {{one}} und {{other}} haben das Klopfen gleich gespürt.',
  'check.tap.right': 'Kanal {{channel}} hat geantwortet, wie er soll: {{place, place}}.',
  'check.tap.rightChannel': 'Kanal {{channel}} hat geantwortet, wie er soll.',
  'check.tap.other':
    'Kanal {{answered}} hat geantwortet, nicht {{channel}}: Seine Leitung kommt von hier: {{place, place}}. Die Leitungen tauschen, oder die Kanäle in der Platzierung.',
  'check.tap.otherChannel':
    'Kanal {{answered}} hat geantwortet, nicht {{channel}}. Die Leitungen tauschen, oder die Kanäle in der Platzierung.',

  'check.noiseFloor.ask': 'Motor aus, niemand bewegt sich: Das Grundrauschen wird gemessen.',
  'check.noiseFloor.good': 'Alle Kanäle sind in Ruhe leise.',
  'check.noiseFloor.doubtful': 'Das Grundrauschen ansehen: {{channels}}.',
  'check.noiseFloor.dead': 'Kanal {{channel}} gibt gar nichts: Leitung und Speisung prüfen.',
  'check.noiseFloor.high':
    'Kanal {{channel}} rauscht in Ruhe ({{level}}): Leitung, Masse und Verstärkung prüfen.',
  'check.noiseFloor.quiet': 'Kanal {{channel}} ist leise ({{level}}).',
  'level.fullScale': '{{level_db, whole}} dB re Vollausschlag',
  'level.acceleration': '{{level_db, whole}} dB re 1e-6 m/s²',

  'check.lead.ask': 'Jede Leitung sacht bewegen, eine nach der anderen, vom Aufnehmer bis zur Schnittstelle.',
  'check.lead.good': 'Alle Leitungen sind in Ordnung.',
  'check.lead.doubtful': 'Die Leitungen ansehen: {{channels}}.',
  'check.lead.faulty': 'Kanal {{channel}} {{faults, faults}}.',
  'check.lead.sound': 'Kanal {{channel}} ist in Ordnung.',

  'check.polarity.ask':
    'Oben auf den Aufnehmer von Kanal {{channel}} klopfen, auf seinen Fuß zu, mit einer Pause zwischen den Schlägen.',
  'check.polarity.positive':
    'Kanal {{channel}} zeigt in die übliche Richtung: Ein Stoß auf seinen Fuß zu ist positiv.',
  'check.polarity.negative':
    'Kanal {{channel}} ist umgekehrt: Seine Leitung ist andersherum gepolt, oder er sitzt kopfüber. Die Pegel stimmen trotzdem; Phasen nicht mit den anderen vergleichen.',
  'check.polarity.none': 'Auf Kanal {{channel}} war kein Klopfen zu spüren: Klemme und Leitung prüfen.',
  'check.polarity.disagree':
    'Die Schläge auf Kanal {{channel}} widersprechen sich: kurz und gerade von oben klopfen.',

  'check.calibration.ask': 'Den Aufnehmer von Kanal {{channel}} fest auf den laufenden Erreger halten.',
  'check.calibration.noNumbers': 'Kanal {{channel}} gibt keine Zahlen: die Schnittstelle prüfen.',
  'check.calibration.clipped':
    'Kanal {{channel}} wird vom Erreger übersteuert: Verstärkung zurücknehmen und noch einmal versuchen.',
  'check.calibration.noTone':
    'Kanal {{channel}} hört keinen Ton: den Erreger einschalten, den Aufnehmer fest darauf halten und noch einmal versuchen.',
  'check.calibration.wrongFrequency':
    'Kanal {{channel}} hört {{frequency_Hz, tenths}} Hz, und ein Referenzerreger gibt {{reference_Hz, tenths}} Hz: Das ist ein anderer Ton.',
  'check.calibration.unsteady':
    'Der Ton auf Kanal {{channel}} ist nicht stetig: den Aufnehmer fest auf den Erreger halten und noch einmal versuchen.',
  'check.calibration.impure':
    'Auf Kanal {{channel}} ist mehr als der Ton: von laufenden Maschinen fernbleiben, den Aufnehmer fest auf den Erreger halten und noch einmal versuchen.',
  'check.calibration.calibrated':
    'Kanal {{channel}}: Der Vollausschlag ist {{fullScale_m_s2, significant}} m/s² mit dieser Schnittstelle.',
};
