import type { SameKeys } from '../same-keys.ts';
import type { ROAD as en } from './en-road.ts';

export const ROAD: SameKeys<typeof en> = {
  'manoeuvre.steady.title': '{{speed, speed}} mit leichtem Gas halten',
  'manoeuvre.steady.why':
    'Bei gehaltener Geschwindigkeit steht jede Linie des Fahrwerks still; wie der Pegel von Geschwindigkeit zu Geschwindigkeit wächst, trennt Reifen vom Rest.',
  'manoeuvre.steady.say': '{{speed, spokenSpeed}} mit leichtem Fuß halten.',
  'manoeuvre.drive.title': 'In einem hohen Gang von {{speed, speed}} auf {{end, speed}} beschleunigen',
  'manoeuvre.drive.why':
    'Zug belastet die Zugseite der Zähne: Ein Zahnrad ändert seinen Klang, ein Lager oder Reifen kaum.',
  'manoeuvre.drive.say': 'Ab {{speed, spokenSpeed}} kräftig bis {{end, spokenSpeed}} beschleunigen.',
  'manoeuvre.coast.title': 'Bei {{speed, speed}} Gas weg, im Gang bis {{end, speed}} ausrollen lassen',
  'manoeuvre.coast.why':
    'Die Motorbremse belastet die andere Seite der Zähne: Ein Heulen, das hier kommt oder geht, ist ein Zahnrad.',
  'manoeuvre.coast.say': 'Gas weg und im Gang bleiben, bis {{end, spokenSpeed}}.',
  'manoeuvre.coast.caution': 'Niemand dicht dahinter: Es leuchtet kein Bremslicht.',
  'manoeuvre.float.title': 'Bei {{speed, speed}} ohne Last rollen: weder Zug noch Schub',
  'manoeuvre.float.why':
    'Ohne Drehmoment rasselt ein Zahnrad oder schweigt; was bleibt, ist ein Lager, ein Reifen oder die Straße.',
  'manoeuvre.float.say': 'Bei {{speed, spokenSpeed}} nur so viel Gas, dass er weder zieht noch bremst.',
  'manoeuvre.swayLeft.title': 'Sanfte Rechtsbögen bei {{speed, speed}}: Last auf der linken Seite',
  'manoeuvre.swayLeft.why':
    'Belastet die linken Räder: Ein verschlissenes Lager dort wird lauter, eines auf der anderen Seite leiser.',
  'manoeuvre.swayLeft.say': 'Bei {{speed, spokenSpeed}} sanfte Bögen nach rechts.',
  'manoeuvre.swayRight.title': 'Sanfte Linksbögen bei {{speed, speed}}: Last auf der rechten Seite',
  'manoeuvre.swayRight.why':
    'Belastet die rechten Räder: Ein verschlissenes Lager dort wird lauter, eines auf der anderen Seite leiser.',
  'manoeuvre.swayRight.say': 'Bei {{speed, spokenSpeed}} sanfte Bögen nach links.',
  'manoeuvre.sway.caution':
    'Eine breite, leere, trockene Straße; in der Spur bleiben; sanft, wie in einer langen Kurve.',
  'manoeuvre.otherGear.title': '{{speed, speed}} einen Gang niedriger halten',
  'manoeuvre.otherGear.why':
    'Die Teile des Fahrwerks drehen wie zuvor, der Motor schneller: Was dem Motor folgt, ist nicht das Fahrwerk.',
  'manoeuvre.otherGear.say': 'Bei {{speed, spokenSpeed}} bleiben und einen Gang niedriger schalten.',
  'manoeuvre.otherGear.caution':
    'Es zählt, sobald der Gang bekannt ist: vom Fahrzeugbus, oder vom Beifahrer eingegeben.',
  'manoeuvre.neutralCoast.title': 'Ab {{speed, speed}} im Leerlauf rollen',
  'manoeuvre.neutralCoast.why':
    'Wenn der Motor leer läuft und nirgends ein Drehmoment wirkt, dreht sich mit den Rädern, was noch zu hören ist.',
  'manoeuvre.neutralCoast.say': 'In den Leerlauf und rollen lassen. Bremse und Lenkung bleiben bereit.',
  'manoeuvre.neutralCoast.lawful':
    'Nur wo es erlaubt ist, auf gerader, leerer Straße, nie bergab; der Motor bleibt an.',
  'manoeuvre.neutralCoast.maker':
    'Manche Automatik- und Elektroantriebe dürfen nicht im Leerlauf rollen: Die Anleitung des Herstellers entscheidet.',

  'road.madeFromFindings': 'Gemacht aus dem, was die Messung offengelassen hat: {{candidates, candidate}}.',
  'road.madeFromNothing':
    'Noch ist nichts ausgeschlossen ({{candidates, candidate}}), und der Halter hat keine Geschwindigkeit genannt: Gefahren wird der übliche Bereich.',
  'road.madeFromComplaint':
    'Gemacht aus der Beanstandung: zu hören bei {{heard}}. Noch offen: {{candidates, candidate}}.',
  'road.heardAt': '{{speed, speed}}',
  'road.heardFromTo': '{{from, speed}} bis {{to, speed}}',
  'road.missing': 'Es fehlt noch: {{title}}. {{why}}',
  'road.more': 'Noch {{seconds, whole}} s: {{title}} (es zählt {{low, speed}} bis {{high, speed}}).',

  'prompt.hold': 'Gut, so halten.',
  'prompt.goOn': 'Gut, weiter so.',
  'prompt.done': 'Fertig.',
  'prompt.last': 'Das war das letzte. Danke.',
  'prompt.notRecorded': 'Es wird nichts aufgezeichnet.',
  'prompt.onceMore': 'Noch einmal. {{say}}',
  'prompt.backTo': 'Zurück auf {{speed, spokenSpeed}}.',
};
