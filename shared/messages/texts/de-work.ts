import type { SameKeys } from '../same-keys.ts';
import type { WORK as en } from './en-work.ts';

export const WORK: SameKeys<typeof en> = {
  'caution.passenger': 'Der Beifahrer bedient dieses Programm, nie der Fahrer.',
  'caution.leadsTied':
    'Leitungen sind festgebunden und ihre Enden gekürzt, über den ganzen Federweg frei von Rädern, Wellen, Bremsen, Lenkung und Auspuff.',
  'caution.stands':
    'Das Fahrzeug steht nach Herstellerangabe auf Böcken oder Bühne; niemand ist unter einem, das sich bewegen kann.',
  'caution.turningWheels':
    'Auf der Bühne drehende Räder sind eine Gefahr für sich: Hände, Haare, Kleidung und Leitungen bleiben fern.',
  'caution.highVoltage': 'Hochvoltteile eines Elektro- oder Hybridantriebs berühren nur dafür Befugte.',
  'caution.recheck':
    'Nach den ersten Metern halten wir an sicherer Stelle und sehen Klemmen und Leitungen nochmals an.',
  'caution.road':
    'Straße, Wetter und Recht erlauben jedes Fahrmanöver; der Fahrer darf jedes davon ablehnen.',

  'skipped.intake':
    'Beanstandung und Fahrzeug wurden übersprungen: Was davon bekannt ist, macht die Diagnose sicherer.',
  'skipped.rigging': 'Die Aufnehmer wurden übersprungen: Es ist nicht gezeigt, welcher Kanal wo sitzt.',
  'skipped.roadCard':
    'Die Fahrkarte wurde übersprungen: Die Fahrmanöver, die die möglichen Ursachen trennen, fehlen vielleicht.',
  'skipped.drive': 'Die Fahrt wurde übersprungen: Es ist nichts gemessen.',
  'skipped.findings': 'Der Befund wurde übersprungen: Was die Messung sagt, hat niemand angesehen.',
  'skipped.inspection':
    'Die Prüfung wurde übersprungen: Spiel und Ablassschraube entscheiden, ob das Fahrzeug überhaupt gefahren werden darf.',
  'skipped.decision':
    'Die Entscheidung wurde übersprungen: Der Halter hat keine Möglichkeiten nebeneinander.',
  'skipped.report': 'Der Bericht wurde übersprungen: Der Halter hat nichts in der Hand.',

  'reminder.odometerNotRead':
    'Der Kilometerstand ist nicht abgelesen: Eine Zunahme über die Strecke wird nicht bekannt sein.',
  'reminder.odometerBack': 'Der Kilometerstand ist kleiner als beim letzten Besuch: noch einmal ablesen.',
  'reminder.notKnown_one': 'Eines ist noch nicht bekannt. {{name}}: {{adds}}',
  'reminder.notKnown_other': '{{count}} Angaben sind noch nicht bekannt. {{name}}: {{adds}}',
  'reminder.nextCheck':
    'Zum Beobachten gehört ein Termin oder Kilometerstand, zu dem wieder nachgesehen wird.',
  'reminder.cautionsOpen': '{{open}} von {{all}} Sicherheitshinweisen sind noch nicht abgehakt.',
  'reminder.swapLeads': 'Beim Klopfen hat ein anderer Kanal geantwortet: Leitungen tauschen, {{channels}}.',
  'reminder.notTapped':
    'Noch nicht geklopft: {{channels}}. Eine vertauschte Leitung würde die falsche Seite nennen.',
  'reminder.notMeasured': 'Noch nicht gemessen: {{check, check}}.',
  'reminder.leftDoubt': 'Ein Zweifel ist geblieben, noch einmal ansehen: {{check, check}}.',
  'reminder.relative':
    'Nur relative Pegel, {{channels}}: Ohne bekannte Empfindlichkeit lassen sie sich nicht mit einem anderen Besuch vergleichen.',
  'reminder.axlePressure.front':
    'Die Reifen vorn unterscheiden sich um {{difference_kPa, pressure}}: vor der Fahrt angleichen.',
  'reminder.axlePressure.rear':
    'Die Reifen hinten unterscheiden sich um {{difference_kPa, pressure}}: vor der Fahrt angleichen.',
  'reminder.oldTyres': 'Reifen von mehr als {{years}} Jahren: {{wheels, wheel}}.',
  channels_one: 'Kanal {{list, listed}}',
  channels_other: 'Kanäle {{list, listed}}',

  'missing.layout.name': 'Angetriebene Räder',
  'missing.layout.adds':
    'Das entscheidet, welche Teile es überhaupt gibt: Eine Achse ohne Antrieb hat kein Achsgetriebe, das zu hören wäre.',
  'missing.tyreSize.name': 'Reifengröße',
  'missing.tyreSize.adds':
    'Sie gibt den Abrollumfang; ohne ihn wird aus Geschwindigkeit keine Raddrehzahl, und keine Ordnung des Fahrwerks hat ihren Platz.',
  'missing.ownerWords.name': 'Worte des Halters',
  'missing.ownerWords.adds':
    'Sie geben den möglichen Ursachen ihre erste, schwache Reihenfolge, und der Bericht gibt sie wieder.',
  'missing.heardSpeeds.name': 'Geschwindigkeiten, bei denen es zu hören ist',
  'missing.heardSpeeds.adds': 'Gefahren wird dann dort, wo das Geräusch ist, statt überall.',
  'missing.bend.name': 'Lauter in Kurven',
  'missing.bend.adds':
    'Eine Kurve belastet eine Seite: Sie trennt Radlager von Zahnrädern und links von rechts.',
  'missing.torque.name': 'Zug, Schub oder Rollen',
  'missing.torque.adds': 'Zahnräder antworten auf die Richtung des Drehmoments, Lager und Reifen kaum.',
  'missing.rearTeeth.name': 'Achsantrieb hinten',
  'missing.rearTeeth.adds':
    'Zähnezahlen geben dem Zahneingriff seine genaue Ordnung; ohne sie lässt sich ein Heulen nicht dieser Achse zuordnen. Schon die Übersetzung allein sagt, wie schnell die Gelenkwelle dreht.',
  'missing.frontTeeth.name': 'Achsantrieb vorn',
  'missing.frontTeeth.adds':
    'Zähnezahlen geben dem Zahneingriff seine genaue Ordnung; ohne sie lässt sich ein Heulen nicht dieser Achse zuordnen. Schon die Übersetzung allein sagt, wie schnell die Gelenkwelle dreht.',
  'missing.wheelBearing.name': 'Maße der Radlager',
  'missing.wheelBearing.adds':
    'Sie legen die vier Schadensraten fest; ohne sie wird eine ganze Reihe möglicher Raten abgesucht, und weniger ist nachgewiesen.',
  'missing.electricDrive.name': 'Elektrischer Antrieb',
  'missing.electricDrive.adds':
    'Ein Elektroantrieb hat keine Zündung, aber eine eigene Untersetzung, und Hochvoltteile, von denen man sich fernhält.',
  'missing.cylinders.name': 'Zylinder',
  'missing.cylinders.adds':
    'Sie legen die Zündordnung fest, damit der Motor nicht für das Fahrwerk gehalten wird.',
  'missing.gearRatios.name': 'Übersetzungen des Getriebes',
  'missing.gearRatios.adds':
    'Mit dem gefahrenen Gang binden sie die Motordrehzahl an die Geschwindigkeit und trennen Motor- von Rollgeräusch.',
  'missing.standing.name': 'Im Stand zu hören',
  'missing.standing.adds':
    'Was im Stand zu hören ist, kommt vom Motor oder seinen Nebenaggregaten, nicht vom Fahrwerk.',
  'missing.surface.name': 'Ändert sich mit dem Belag',
  'missing.surface.adds': 'Reifen ändern ihren Klang mit dem Belag, Lager und Zahnräder nicht.',
  'missing.laden.name': 'Lauter mit Zuladung',
  'missing.laden.adds': 'Last auf einer Achse spricht für deren Lager und Reifen.',
  'missing.warmth.name': 'Kalt oder warm',
  'missing.warmth.adds':
    'Das sagt, ob gleich oder nach dem Warmfahren gemessen wird; sonst bleibt das Geräusch auf der Fahrt vielleicht aus.',
  'missing.odometer.name': 'Kilometerstand',
  'missing.odometer.adds':
    'Ohne ihn gibt es keine Zunahme je Strecke und keine nächste Prüfung nach Kilometern.',
  'missing.pressures.name': 'Reifendrücke',
  'missing.pressures.adds':
    'Ein weicher Reifen rumpelt wie ein Lager und rollt einen kürzeren Weg; ungleiche Drücke fallen auf, bevor ein Teil gekauft wird.',
  'missing.treads.name': 'Profiltiefen',
  'missing.treads.adds':
    'Abgefahrenes Profil nimmt dem Abrollumfang bis zu 2,5 %, und ungleiches Profil spricht für den Reifen.',
  'missing.tyreAges.name': 'Alter der Reifen',
  'missing.tyreAges.adds': 'Alte Reifen werden hart und laut; ihr Alter wägt Reifen gegen Lager.',
  'missing.vin.name': 'Fahrgestellnummer',
  'missing.vin.adds':
    'Sie führt zu den Herstellerangaben und erkennt das Fahrzeug unter anderem Kennzeichen wieder.',
  'missing.plate.name': 'Kennzeichen',
  'missing.plate.adds': 'Es findet das Fahrzeug, wenn es wiederkommt.',
};
