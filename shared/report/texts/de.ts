import type { SameKeys } from '../../messages/same-keys.ts';
import { NAMES } from '../../messages/texts/de-names.ts';
import type { en } from './en.ts';

/** The words of the report in German. */
export const de: SameKeys<typeof en> = {
  title: 'Bericht über ein Geräusch',
  visit: 'Besuch {{number}}',
  madeOn: 'erstellt am {{date}}',
  notKnown: 'nicht bekannt',
  fact: {
    vehicle: 'Fahrzeug',
    plate: 'Kennzeichen',
    vin: 'Fahrgestellnummer',
    odometer: 'Kilometerstand',
    date: 'Tag des Besuchs',
  },

  stop: {
    title: 'NICHT FAHREN',
  },

  verdict: {
    title: 'Was das Geräusch macht',
    nothing: 'Bei diesem Besuch wurde nichts gemessen; über die Ursache wird deshalb nichts gesagt.',
    pinpointed: 'Das Geräusch entsteht hier: {{part}}.',
    narrowed: 'Das Geräusch macht eines von diesen: {{parts}}. Welches, ist noch nicht nachgewiesen.',
    likely: 'Sehr wahrscheinlich entsteht das Geräusch hier: {{part}}. Nachgewiesen ist es noch nicht.',
    notYet: 'Was das Geräusch macht, lässt sich noch nicht sagen.',
    nothingAbnormal: 'Es war nichts Ungewöhnliches zu hören.',
    certainty:
      'Sicherheit {{percent}}: Von hundert so sicheren Befunden sollten sich etwa {{about}} als richtig erweisen.',
    between: 'Zusammen haben sie {{percent}} der Wahrscheinlichkeit.',
    sofar: 'Bisher spricht das meiste für: {{parts}}.',
    why: 'Warum',
    next: 'Was als Nächstes gemessen wird, um es zu klären: Die Aufnehmer kommen an {{places}}.',
    leftOut: 'Ausgelassen: Fahrt {{run}}, Kanal {{channel}} ({{place}}): {{faults}}.',
  },
  fault: {
    dead: 'kein Signal',
    clipped: 'übersteuert',
    hum: 'Netzbrummen',
    loose: 'lose oder anschlagend',
    offset: 'Gleichanteil',
    implausible: 'unglaubhafter Pegel',
    corrupt: 'beschädigte Aufnahme',
  },

  owner: {
    title: 'Was der Halter sagt',
    none: 'Es wurde keine Beanstandung notiert.',
    heard: 'Zu hören: {{when}}.',
    between: 'von {{low}} bis {{high}}',
    from: 'ab {{low}}',
    upTo: 'bis {{high}}',
    bend: {
      left: 'lauter in Linkskurven',
      right: 'lauter in Rechtskurven',
      both: 'lauter in allen Kurven',
      noDifference: 'in Kurven unverändert',
    },
    torque: {
      drive: 'am lautesten unter Zug',
      coast: 'am lautesten im Schub',
      float: 'am lautesten ohne Last',
      noDifference: 'von der Last unabhängig',
    },
    laden: { louder: 'lauter mit Zuladung', noDifference: 'mit Zuladung unverändert' },
    warmth: { cold: 'in kaltem Zustand', warm: 'in warmem Zustand', noDifference: 'kalt wie warm' },
    surface: { changes: 'ändert sich mit dem Belag', noDifference: 'auf jedem Belag gleich' },
    standing: { yes: 'auch im Stand', no: 'nicht im Stand' },
  },

  done: {
    title: 'Was getan wurde',
    none: 'Es wurde keine Fahrt aufgezeichnet.',
    run: 'Fahrt {{number}}, {{date}}, {{duration}}: Aufnehmer an {{places}}.',
    driven: 'Gefahren {{states}}{{speeds}}.',
    speeds: ', {{low}} bis {{high}}',
    noPickup: 'keiner bekannten Stelle',
    more: 'und {{count}} weitere Fahrten.',
    method:
      'Schwingungsaufnehmer wurden am Fahrwerk angeklemmt und auf der Straße aufgezeichnet; dieselbe Fahrt an allen Stellen zeigt, wo das Geräusch entsteht und wo es nur zu hören ist.',
  },
  state: NAMES.state,

  picture: {
    title: 'Wo es laut ist',
    label: 'Das Fahrzeug von oben mit dem Pegel an jeder Stelle',
    front: 'Vorn',
    sentence:
      'Zahlen: um wie viel dB leiser als die lauteste Stelle (0). Etwa 6 dB weniger sind die halbe Schwingung. Je größer und dunkler das Zeichen, desto lauter.',
    unheard: 'Eine Zahl mit ≤ war im übrigen Geräusch nicht herauszuhören.',
    places: 'Kreise: wo die Aufnehmer saßen. Ihre Pegel lassen sich nicht auf eine Skala bringen.',
    none: 'Es wurde noch kein Aufnehmer gesetzt.',
  },
  levels: {
    title: 'Pegel an den Stellen',
    loudest: '0 dB, am lautesten',
    of: {
      orders: 'der Ton, der am meisten für den Befund spricht',
      envelope: 'der Schlag, der am meisten für den Befund spricht',
      band: 'das Rauschen, das am meisten für den Befund spricht',
      overall: 'die gesamte Schwingung',
    },
    sentence: 'Verglichen wird {{what}}, in dB gegen die lauteste Stelle: {{place}}.',
    gap: 'Die nächste Stelle ist um {{gap}} leiser: {{place}}.',
  },
  spectrum: {
    title: 'Die Töne, die zu hören waren',
    axis: 'Mal je Radumdrehung',
    level: 'dB re 1 µm/s²',
    relative: 'dB re Vollausschlag',
    loud: '{{place}} (durchgezogen)',
    quiet: '{{place}} (gestrichelt)',
    sentence:
      'Jede Spitze ist ein Ton. An den Marken muss das fragliche Teil zu hören sein, wenn es das Geräusch macht: {{part}}.',
    sentenceAll: 'Jede Spitze ist ein Ton; die Marke zeigt den, der am meisten für den Befund spricht.',
    sentenceNone: 'Jede Spitze ist ein Ton; keine davon gehört sicher zum fraglichen Teil.',
    marked: 'Markiert: {{marks}}.',
  },
  comparison: {
    title: 'Vergleich mit dem Besuch vom {{date}}',
    axis: 'Unterschied in dB: leiser links von 0, lauter rechts davon; der Balken ist der 95-%-Bereich',
    row: '{{figure}}, {{place}}',
    at: '{{state}}, {{low}} bis {{high}}',
    change: {
      louder: 'lauter',
      quieter: 'leiser',
      withinUncertainty: 'keine Änderung gezeigt',
    },
    sentence:
      '{{changed}} von {{all}} gleich gemessenen Werten unterscheiden sich um mehr als ihre Unsicherheit; durch Zufall allein wären es etwa {{chance}}.',
    none: 'Vom Besuch am {{date}} lässt sich nichts mit diesem vergleichen: {{reasons}}.',
    reason: {
      placement: 'die Aufnehmer saßen anderswo',
      sensitivity: 'eine Empfindlichkeit ist nicht bekannt',
      state: 'es wurde anders gefahren',
      speedBand: 'die Geschwindigkeiten sind verschieden',
      method: 'es wurde nach einem anderen Verfahren gemessen',
      notMeasured: 'es gibt keine Messwerte',
    },
    band: 'Rauschen {{band}}',
  },

  options: {
    title: 'Die Möglichkeiten',
    none: 'Die Möglichkeiten und ihre Kosten sind noch nicht ausgearbeitet.',
    about: 'Sie betreffen: {{part}}.',
    replace: 'Ersetzen',
    watch: 'Wartung und Beobachten',
    test: 'Weiter untersuchen',
    nothing: 'Nichts tun',
    chosen: 'gewählt',
    notOffered: 'Wird nicht angeboten: Nicht fahren.',
    fits: {
      yes: 'Passt zum Befund.',
      notKnown: 'Beruht auf noch Unbekanntem.',
      advisedAgainst: 'Davon wird abgeraten.',
    },
    now: 'Jetzt',
    noPrice: 'noch kein Preis',
    noExpected: 'keine Zahl',
    overHorizon: 'Erwartet über {{distance}}',
    reckoned: 'Rechnung',
    risk: 'Risiko',
    moreParts: '{{count}} weitere Teile',
    reason: 'Angegebener Grund: {{reason}}',
    carriedOut: 'Es ist ausgeführt worden.',
  },

  inspection: {
    title: 'Prüfung mit Auge und Hand',
    none: 'Es wurde keine solche Prüfung notiert.',
    wheel: 'Rad {{wheel}}: {{found}}.',
    unit: '{{unit}}: {{found}}.',
    play: NAMES.play,
    drag: NAMES.drag,
    debris: NAMES.debris,
    tyreWear: NAMES.tyreWear,
    drained: '{{volume}} abgelassen',
    refilled: '{{volume}} eingefüllt',
    fluid: 'Flüssigkeit: {{fluid}}',
    fillPlug: 'Einfüllschraube {{torque}}',
    drainPlug: 'Ablassschraube {{torque}}',
    wanted: '{{done}} (Herstellerangabe {{wanted}})',
    notLookedUp: '{{done}} (Herstellerangabe nicht nachgesehen)',
  },

  next: {
    title: 'Nächste Prüfung',
    on: 'Am {{date}}.',
    at: 'Bei einem Stand von {{distance}}.',
    either: 'Am {{date}} oder bei einem Stand von {{distance}}, je nachdem, was zuerst kommt.',
    none: 'Es ist keine nächste Prüfung vereinbart.',
    sooner: 'Früher, wenn sich das Geräusch ändert oder lauter wird.',
  },
  stillOpen: 'Noch offen',
  caution: {
    title: 'Bitte beachten',
    worse:
      'Wird das Geräusch plötzlich lauter, rüttelt etwas, riecht es heiß oder läuft etwas aus: An sicherer Stelle anhalten und nachsehen lassen, bevor weitergefahren wird.',
    play: 'Ein Lager mit Spiel oder Metallspäne am Magneten einer Ablassschraube: Nicht fahren.',
    maker:
      'Drehmomente, Flüssigkeiten und Verfahren stehen in den Angaben des Herstellers; örtliches Recht und zugelassene Fachbetriebe gehen vor.',
    highVoltage: 'Hochvoltteile des Antriebs werden nur von dafür Befugten berührt.',
    basis:
      'Dieser Bericht sagt, was am Tag des Besuchs gemessen und gesehen wurde. Er ist keine allgemeine Untersuchung des Fahrzeugs.',
  },
  sign: {
    technician: 'Fachkraft, Datum',
    owner: 'Halter, Datum: Der Bericht ist mir erklärt worden',
  },
  made: 'Erstellt mit Rumblepath.',

  wheel: NAMES.wheel,
};
