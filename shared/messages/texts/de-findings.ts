import type { SameKeys } from '../same-keys.ts';
import type { FINDINGS as en } from './en-findings.ts';

export const FINDINGS: SameKeys<typeof en> = {
  'summary.pinpointed': 'Das Geräusch entsteht hier: {{part, part}} ({{probability, share}}).',
  'summary.nothingAbnormal': 'Es war nichts Ungewöhnliches zu hören ({{probability, share}}).',
  'summary.likely':
    'Sehr wahrscheinlich ist es dieses Teil: {{part, part}} ({{probability, share}}). {{why}}',
  'summary.narrowed': 'Es ist eines von {{number}}: {{parts, part(type: disjunction)}}.',
  'summary.notYet':
    'Es lässt sich noch nicht sagen: Die Aufnehmer wie vorgeschlagen anklemmen und noch einmal fahren.',

  'evidence.louderThan': ' ({{difference_db, whole}} dB lauter als hier: {{place, place}})',
  'evidence.band':
    'Rauschen von {{low_Hz, hertz}} bis {{high_Hz, hertz}} Hz ist am lautesten hier: {{place, place}}{{louder}}.',
  'evidence.swells.wheelModulation':
    'Das Geräusch schwillt im Takt der Räder an und ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.swells.propModulation':
    'Das Geräusch schwillt im Takt der Gelenkwelle an und ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.swells.engineModulation':
    'Das Geräusch schwillt im Takt des Motors an und ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.beats.outer':
    'Das Geräusch schlägt {{order, hundredths}}-mal je Radumdrehung, wie es ein Schaden am Außenring eines Radlagers tut; am deutlichsten hier: {{place, place}}{{louder}}.',
  'evidence.beats.inner':
    'Das Geräusch schlägt {{order, hundredths}}-mal je Radumdrehung, wie es ein Schaden am Innenring eines Radlagers tut; am deutlichsten hier: {{place, place}}{{louder}}.',
  'evidence.beats.element':
    'Das Geräusch schlägt {{order, hundredths}}-mal je Radumdrehung, wie es ein Schaden an den Wälzkörpern eines Radlagers tut; am deutlichsten hier: {{place, place}}{{louder}}.',
  'evidence.beats.cage':
    'Das Geräusch schlägt {{order, hundredths}}-mal je Radumdrehung, wie es ein Schaden am Käfig eines Radlagers tut; am deutlichsten hier: {{place, place}}{{louder}}.',
  'evidence.beats.unexplained':
    'Das Geräusch schlägt {{order, hundredths}}-mal je Radumdrehung, was keine Welle und kein Zahnrad dieses Fahrzeugs erklärt, ein schadhaftes Lager aber schon; am deutlichsten hier: {{place, place}}{{louder}}.',
  'evidence.line.wheelTurning':
    'Ein Stoß je Radumdrehung hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.wheelMultiples':
    'Ein Rumpeln in Vielfachen der Raddrehzahl, wie es ein unrunder Reifen macht, hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.treadLines':
    'Ein Ton, {{order, tenths}}-mal je Radumdrehung, wie ihn ein ungleich abgefahrenes Profil macht, hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.meshFront':
    'Der Ton der Tellerradzähne vorn ({{order, tenths}}-mal je Radumdrehung) hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.meshRear':
    'Der Ton der Tellerradzähne hinten ({{order, tenths}}-mal je Radumdrehung) hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.propTurning':
    'Ein Stoß je Umdrehung der Gelenkwelle hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.engineUneven':
    'Ein Takt des Motors, der auftritt, wenn seine Zylinder nicht gleich ziehen, hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.engineFiring':
    'Der Takt des Motors selbst hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.line.other':
    'Ein Ton, {{order, tenths}}-mal je Radumdrehung, der von diesem Teil kommen kann ({{part, part}}), hebt sich um {{over_db, whole}} dB vom Geräusch ringsum ab, am stärksten hier: {{place, place}}{{louder}}.',
  'evidence.torque.gears':
    'Es ändert sich um {{change_db, whole}} dB zwischen Zug, Schub und lastfreiem Rollen, wie es Zahnräder tun.',
  'evidence.torque.shaft':
    'Es ändert sich um {{change_db, whole}} dB zwischen Zug, Schub und lastfreiem Rollen, wie es eine belastete Welle tut.',
  'evidence.torque.engine':
    'Es ändert sich um {{change_db, whole}} dB zwischen Zug, Schub und lastfreiem Rollen, wie es die Motorlast tut.',
  'evidence.torque.tyre':
    'Zwischen Zug, Schub und lastfreiem Rollen ändert es sich kaum: Es folgt allein der Geschwindigkeit, wie es ein Reifen tut.',
  'evidence.sway':
    'Es ändert sich um {{change_db, whole}} dB zwischen dem Schwenken nach links und nach rechts, wie es ein Radlager unter Seitenlast tut.',
  'evidence.quiet':
    'Keine Stelle hebt sich ab: Die lauteste ({{place, place}}) liegt in ihrem lautesten Band {{gap_db, whole}} dB über der nächsten.',

  'rule.noPickupOnPart':
    'Auf diesem Teil saß noch kein Aufnehmer ({{part, part}}); es gilt daher noch nicht als geklärt.',
  'rule.axleBetweenNotHeard':
    'Die Achse zwischen den Radnaben wurde noch nicht unmittelbar gehört: Dieses Teil gibt ihr Geräusch vielleicht nur weiter ({{part, part}}).',
  'rule.louderElsewhere':
    'Ein Teil des Geräuschs ist an einer anderen Stelle ({{place, place}}) deutlich lauter als auf diesem Teil ({{part, part}}); es gilt daher noch nicht als geklärt.',
  'rule.doubtfulRecording': 'Die Aufnahme selbst ist zweifelhaft; durch sie ist daher nichts geklärt.',

  'next.axleBetween':
    'Beide Radnaben hören vielleicht die Achse zwischen ihnen: Hier ist sie unmittelbar zu hören ({{place, place}}).',
  'next.soundAlike':
    'Diese beiden Teile liegen nebeneinander und können an der Radnabe gleich klingen: {{part, part}} und {{axle, part}}. Diese Stelle sagt, welches von ihnen das Geräusch macht.',
  'next.suspectedMost':
    'Dieses Teil gehört zu den ersten im Verdacht, und noch kein Aufnehmer saß darauf: {{part, part}}.',
  'next.clampAgain':
    'Diese Stelle war lauter als das Teil selbst: {{place, place}} gegen {{part, part}}. Beide noch einmal, neu geklemmt, zeigen, ob eine Befestigung schlecht war.',
  'next.sideBySide':
    'Diese beiden wurden noch nie in derselben Fahrt gehört: {{parts, part}}. Nebeneinander steht weder eine Befestigung noch eine andere Fahrt zwischen ihnen.',
  'next.parts':
    'Wie laut es hier ankommt ({{place, place}}), unterscheidet zwischen diesen: {{nearest, part}} und {{farthest, part}}.',
  'next.onTheWay': 'Vergleicht den Pegel auf dem Weg dorthin: {{place, place}}.',
  'next.against': ', im Vergleich zu: {{parts, part}}',
  'next.firstHand':
    'Dies hat noch kein Aufnehmer unmittelbar gehört: {{parts, part(type: disjunction)}}{{against}}.',
  'next.again':
    'Noch einmal, die übrigen an neuen Stellen: Hier ist unmittelbar zu hören, ob es dies ist: {{parts, part(type: disjunction)}}{{against}}.',

  'notice.runLeftOut': 'Fahrt {{run}} ({{file}}) wurde ausgelassen: {{why}}',
  'notice.ofRun': 'Fahrt {{run}} ({{file}}): {{what}}.',
  'notice.channel': 'Fahrt {{run}} ({{file}}): Kanal {{channel}} ({{place, place}}) {{fault, fault}}.',
  'notice.channelLeftOut':
    'Fahrt {{run}} ({{file}}): Kanal {{channel}} ({{place, place}}) {{fault, fault}}. Er wurde ausgelassen.',
  'notice.tacho': 'der Drehzahlgeber gab keine brauchbaren Impulse',
  'notice.tachoNoOrders':
    'der Drehzahlgeber gab keine brauchbaren Impulse; daher ließen sich nur Rauschbänder vergleichen, keine Ordnungen',
  'notice.tachoNoTeeth':
    'der Drehzahlgeber zählt eine Welle, von der niemand weiß, wie oft sie sich je Radumdrehung dreht (Zähnezahlen des Achsantriebs eingeben, beim Motor auch den Gang); daher ließen sich nur Rauschbänder vergleichen, keine Ordnungen',
  'notice.noSpeed':
    'es gibt keine Geschwindigkeit; daher ließen sich nur Rauschbänder vergleichen, keine Ordnungen',
  'notice.notSharper':
    'die Geschwindigkeit ließ sich aus der Schwingung nicht genauer bestimmen ({{why, notSharper}})',
  'notice.engineHeard': 'wie schnell der Motor dreht, verriet der Klang seiner eigenen Zündungen',
  'notice.speedUnusable': 'die Geschwindigkeitswerte sind nicht zu gebrauchen ({{why}})',
  'notice.segmentsUnused':
    '{{unusable}} von {{all}} Abschnitten sind leer, zu kurz, zu langsam oder jenseits der Aufnahme und wurden nicht benutzt',
  'notice.noSuchBearing':
    'Die Maße des Radlagers gehören zu keinem Lager: So viele Wälzkörper dieses Durchmessers passen nicht auf den Teilkreis, oder der Druckwinkel ist ein rechter. Sie wurden nicht verwendet; in den Fahrzeugdaten berichtigen.',
  'notice.noStates': 'es waren keine Fahrzustände markiert; daher wurde die ganze Fahrt als einer genommen',
  'notice.noSegmentUsable':
    'kein markierter Abschnitt ist brauchbar; daher wurde die ganze Fahrt als einer genommen',
  'doubt.misplaced':
    'Fahrt {{run}}: Ein Ton ist hier viel lauter: {{far, place}}, als dort, wo er entsteht: {{near, place}}. Prüfen, ob die Kanäle {{nearChannel}} und {{farChannel}} nicht vertauscht sind und die richtige Empfindlichkeit haben; bis dahin ist nichts geklärt.',

  'inspection.play':
    '{{place, place, capital}}: {{found, play}}, {{speaks, speaks}} (Gewicht {{weight, tenths}}).',
  'inspection.drag':
    '{{place, place, capital}}: {{found, drag}}, {{speaks, speaks}} (Gewicht {{weight, tenths}}).',
  'inspection.debris':
    '{{place, place, capital}}: {{found, debris}}, {{speaks, speaks}} (Gewicht {{weight, tenths}}).',
  'inspection.tyreWear':
    '{{place, place, capital}}: {{found, tyreWear}}, {{speaks, speaks}} (Gewicht {{weight, tenths}}).',
  'stop.play': 'Deutliches Spiel am Rad {{wheel, wheel}}: Nicht fahren, bis es behoben ist.',
  'stop.chips':
    'Metallspäne am Magneten der Ablassschraube ({{unit, unit}}): Nicht fahren, bis es behoben ist.',
  'plugs.lessRefilled':
    '{{unit, unit}}: Es kam {{difference_l, volume}} weniger hinein als heraus; den Stand nach Herstellerangabe prüfen.',
  'plugs.moreRefilled':
    '{{unit, unit}}: Es kam {{difference_l, volume}} mehr hinein als heraus; den Stand nach Herstellerangabe prüfen.',
  'plugs.notRefilled':
    '{{unit, unit}}: Es kam Flüssigkeit heraus, und keine ist als eingefüllt eingetragen; ohne sie nicht fahren.',
  'plugs.fillFirst':
    '{{unit, unit}}: Die Einfüllschraube wird vor der Ablassschraube geöffnet, damit wieder hineinkommt, was herauskommt.',
  'plugs.notLookedUp':
    '{{unit, unit}}: Das Drehmoment der {{plug, plug}} stammt nicht aus den Herstellerangaben; nachsehen.',
  'plugs.wrongTorque':
    '{{unit, unit}}: Die {{plug, plug}} hat {{done_Nm, torque}}, der Hersteller verlangt {{wanted_Nm, torque}}; noch einmal anziehen.',
};
