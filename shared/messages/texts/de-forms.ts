import type { SameKeys } from '../same-keys.ts';
import type { FORMS as en } from './en-forms.ts';

export const FORMS: SameKeys<typeof en> = {
  'field.number': '{{field, field}}: Hier gehört eine Zahl hin.',
  'field.range': '{{field, field}}: von {{low, plain}} bis {{high, plain}}.',
  'field.rangeOf': '{{field, field}}: von {{low, plain}} bis {{high, plain}} {{unit, fieldUnit}}.',
  'field.whole': '{{field, field}}: Hier gehört eine ganze Zahl hin.',
  'field.text': '{{field, field}}: Hier gehört ein Text hin.',
  'field.longest': '{{field, field}}: höchstens {{longest, plain}} Zeichen.',
  'field.empty': '{{field, field}}: darf nicht leer sein.',
  'field.date': '{{field, field}}: Hier gehört ein Datum hin.',
  'intake.speedTo': 'Geschwindigkeit bis: nicht kleiner als die Geschwindigkeit von.',
  'intake.tyreAge': 'Alter: die letzten vier Ziffern der DOT-Zeile, etwa 2319 für Woche 23 des Jahres 2019.',
  'intake.tyreNotASize':
    'Reifengröße: „{{size}}“ ist keine Reifengröße; wie auf der Flanke schreiben, etwa 205/55R16.',
  'intake.tyreOdd':
    'Reifengröße: „{{size}}“ wäre ein Reifen von {{diameter_mm, whole}} mm: die Größe prüfen.',
  'intake.bothTeeth': 'Zähne des Ritzels: Beide Zähnezahlen gehören dazu, oder die Übersetzung allein.',
  'intake.moreTeeth': 'Zähne des Tellerrads: Das Tellerrad hat mehr Zähne als das Ritzel.',
  'intake.ratioOdd':
    'Übersetzung des Achsantriebs: Sie passt nicht zu den Zähnezahlen; eines von beiden berichtigen.',
  'intake.elementsOdd': 'Wälzkörper: So viele dieses Durchmessers passen nicht auf den Teilkreis.',
  'vin.strange': 'Fahrgestellnummer: {{character}} ist weder Buchstabe noch Ziffer.',
  'vin.barred':
    'Fahrgestellnummer: Den Buchstaben {{letter}} gibt es darin nicht; wahrscheinlich ist es eine {{digit}}.',
  'vin.length':
    'Fahrgestellnummer: {{length}} Zeichen, und es müssen 17 sein; eine ältere Nummer gehört in die Notiz.',
  'vin.checkDigit':
    'Die Prüfziffer müsste {{expected}} sein: noch einmal mit dem Schild am Fahrzeug vergleichen.',
  'vin.noCheckDigit':
    'Die Prüfziffer passt nicht, was außerhalb Nordamerikas üblich ist: die Nummer noch einmal vergleichen.',
  'rigging.channelTaken': 'Kanal: {{channel}} ist schon vergeben.',
  'rigging.pickupElsewhere': 'Aufnehmer: {{pickup}} sitzt schon anderswo.',
  'settings.currency': 'Währung: drei Großbuchstaben, etwa EUR (ISO 4217).',
  'settings.pickupTwice':
    'Aufnehmer: {{pickup}} ist zweimal aufgeführt; ein Platz braucht einen Namen, der nur einen meint.',
  'inspection.wheelOnce': 'Rad: Jedes steht nur einmal da.',
  'inspection.unitOnce': 'Aggregat: Jedes steht nur einmal da.',
  'draft.tooLong': 'Dieses Formular enthält mehr, als sich aufheben lässt; seine Texte kürzen.',
  'photo.kind': 'Foto: Hier gehört ein Bild als JPEG oder PNG hin.',
  'photo.unreadable': 'Foto: Die Datei ließ sich nicht lesen.',
  'port.baudRate': 'Baudrate: eine aus der Liste wählen.',
  'port.choose': 'Anschluss: einen wählen.',
  'port.tooLong': 'Anschluss: zu lang.',
  'port.suchAs': 'Anschluss: etwa /dev/ttyUSB0 oder COM3.',
  'port.firstLine': 'Erste Zeilen: einfache Buchstaben, Ziffern und Zeichen, höchstens 40 je Zeile.',
  'port.firstLines': 'Erste Zeilen: höchstens 8.',
  'folder.name': 'Einen Ordner nennen.',
};
