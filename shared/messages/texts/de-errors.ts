import type { SameKeys } from '../same-keys.ts';
import type { ERRORS as en } from './en-errors.ts';

export const ERRORS: SameKeys<typeof en> = {
  'error.inside': 'Im Programm ist etwas schiefgegangen; im Protokoll steht Genaueres.',
  'error.noRequest': 'Eine Anfrage namens {{name}} gibt es nicht.',
  'error.misfit':
    'Die Messseite hat etwas geantwortet, was diese Ansicht nicht versteht. Rumblepath neu starten.',
  'error.unanswered':
    'Die Messseite antwortet nicht. Warten, bis die Verbindung wieder da ist, dann nochmals versuchen.',
  'error.recordingBeforePlaying': 'Eine Aufnahme läuft; sie beenden, ehe eine Fahrt abgespielt wird.',

  'device.defaultInput': 'Der Standard-Toneingang',
  'device.defaultOutput': 'Der Standard-Tonausgang',
  'device.input': 'Der Toneingang',
  'device.output': 'Der Tonausgang',
  'error.noInput': 'Kein Toneingang gefunden; einen anstecken und nochmals versuchen.',
  'error.noOutput': 'Kein Tonausgang gefunden; einen anstecken und nochmals versuchen.',
  'error.deviceMissing': '{{device}} ist nicht angeschlossen; anstecken und nochmals versuchen.',
  'error.deviceChannels': '{{device}} bietet keine {{channels}} Kanäle; weniger wählen.',
  'error.deviceInputs': '{{device}} hat {{there}} Eingangskanäle, nicht {{channels}}; weniger Kanäle wählen.',
  'error.deviceOutputs':
    '{{device}} hat {{there}} Ausgangskanäle, nicht {{channels}}; weniger Kanäle wählen.',
  'error.deviceNoInputs':
    '{{device}} hat keine Eingangskanäle, gebraucht werden {{channels}}; ein anderes Gerät wählen.',
  'error.deviceNoOutputs':
    '{{device}} hat keine Ausgangskanäle, gebraucht werden {{channels}}; ein anderes Gerät wählen.',
  'error.deviceRate': '{{device}} läuft nicht mit {{rate_Hz}} Hz; eine andere Abtastrate wählen.',
  'error.deviceBusy':
    '{{device}} wird von einem anderen Programm benutzt; jenes beenden und nochmals versuchen.',
  'error.deviceSilent': '{{device}} ist da, läuft aber nicht; abziehen, anstecken und nochmals versuchen.',
  'error.deviceOther': '{{device}} ließ sich nicht öffnen; abziehen, anstecken und nochmals versuchen.',
  'error.devicesNotListed':
    'Die Tongeräte ließen sich nicht auflisten; die Schnittstelle abziehen und wieder anstecken.',
  'error.channelCount':
    '1 bis 32 Kanäle können aufgenommen werden, nicht {{channels}}; eine andere Zahl wählen.',
  'error.sampleRate': 'Eine Abtastrate von {{rate_Hz}} Hz ist nicht möglich; eine andere wählen.',
  'error.captureStopped': 'Die Aufnahme wurde beendet, ehe sie begann.',
  'error.captureLost':
    '{{device}} liefert keinen Ton mehr; die Leitung prüfen. Die Aufnahme geht weiter, sobald wieder etwas kommt.',
  'error.outputLost':
    '{{device}} spielt nicht mehr; die Leitung prüfen. Das Mithören geht danach von selbst weiter.',
  'error.recordingEmpty': 'Die Aufnahme ist leer; eine andere wählen.',
  'error.pairRates':
    'Die beiden Besuche wurden mit {{first_Hz}} und {{second_Hz}} Hz aufgenommen und lassen sich nicht nebeneinander abspielen; nacheinander abspielen.',

  'error.portMissing': '{{port}} ist nicht da; Empfänger oder Adapter anstecken und nochmals versuchen.',
  'error.portBusy': '{{port}} wird von einem anderen Programm benutzt; jenes beenden und nochmals versuchen.',
  'error.portForbidden':
    '{{port}} darf von diesem Benutzer nicht geöffnet werden; den Benutzer in die Gruppe aufnehmen lassen, der serielle Anschlüsse gehören.',
  'error.portOther': '{{port}} ließ sich nicht als serieller Anschluss öffnen; einen anderen wählen.',
  'link.satellite.lost':
    'Der Satellitenempfänger an {{port}} ist weg; wieder anstecken, er wird dann von selbst weitergelesen.',
  'link.satellite.silent': 'Der Satellitenempfänger an {{port}} sagt nichts; Kabel und Baudrate prüfen.',
  'link.satellite.flood':
    '{{port}} sendet mehr, als ein Satellitenempfänger kann; einen anderen Anschluss wählen.',
  'link.satellite.unreadable':
    'Was von {{port}} kommt, lässt sich nicht als Satellitenempfänger lesen; Baudrate und Anschluss prüfen.',
  'link.noFix': 'Der Satellitenempfänger weiß noch nicht, wo er ist; ihm freie Sicht zum Himmel geben.',
  'link.satellite.absurd':
    'Der Satellitenempfänger meldet Geschwindigkeiten, die kein Fahrzeug fährt; sie werden nicht benutzt. Seinen Empfang prüfen.',
  'link.satellite.noSpeed':
    'Der Satellitenempfänger an {{port}} arbeitet, meldet aber keine Geschwindigkeit; seine RMC- oder VTG-Sätze einschalten.',
  'link.bus.lost':
    'Der Busadapter an {{port}} ist weg; wieder anstecken, er wird dann von selbst weitergelesen.',
  'link.bus.silent': 'Der Busadapter an {{port}} sagt nichts; Stecker, Zündung und Baudrate prüfen.',
  'link.bus.flood': '{{port}} sendet mehr, als ein Busadapter kann; einen anderen Anschluss wählen.',
  'link.bus.unreadable':
    'Was von {{port}} kommt, lässt sich nicht als Busadapter lesen; Baudrate und Anschluss prüfen.',
  'link.noAnswer': 'Das Fahrzeug antwortet dem Busadapter nicht; Zündung einschalten und Stecker prüfen.',
  'link.bus.absurd':
    'Der Busadapter meldet Geschwindigkeiten, die kein Fahrzeug fährt; sie werden nicht benutzt. Seinen Stecker prüfen.',
  'link.bus.noSpeed':
    'Der Busadapter an {{port}} arbeitet, meldet aber keine Geschwindigkeit; vielleicht bietet dieses Fahrzeug keine an, dann anders vorgeben.',

  'error.wavUnreadable': '{{file}} lässt sich nicht als WAV-Aufnahme lesen: {{why}}.',
  'wav.formatCut': 'der Formatteil ist abgeschnitten',
  'wav.extensibleCut': 'der erweiterte Formatteil ist abgeschnitten',
  'wav.notPlain': 'sie enthält keine einfachen Abtastwerte',
  'wav.encoding':
    'ihre Abtastwerte sind von einer Art, die sich hier nicht lesen lässt (Format {{tag}}, {{bits}} Bit); sie als PCM mit 16, 24 oder 32 Bit oder als Gleitkomma mit 32 Bit sichern',
  'wav.beginning': 'sie beginnt nicht wie eine',
  'wav.endsEarly': 'sie endet, ehe die Abtastwerte beginnen',
  'wav.noFormat': 'die Abtastwerte kommen vor ihrem Format',
  'wav.tooManyParts': 'vor den Abtastwerten stehen zu viele Teile',
  'wav.channels': 'sie nennt {{channels}} Kanäle; 1 bis {{most}} lassen sich lesen',
  'wav.rate': 'sie nennt eine Abtastrate von {{rate_Hz}} Hz',
  'wav.frameSize':
    'ein Abtastschritt von {{bytes}} Byte passt nicht zu {{channels}} Kanälen von {{bits}} Bit',
  'error.wavNotAFile': '{{file}} ist keine Datei.',
  'error.wavGone': '{{file}} ist nicht mehr da.',
  'error.wavNotOpened': '{{file}} ließ sich nicht öffnen; den Datenträger prüfen.',
  'error.wavNotReadOn': '{{file}} ließ sich nicht weiterlesen; den Datenträger prüfen.',
  'error.wavTooLongToMend':
    '{{file}} ist länger, als ihr Kopf sagen kann; sie lässt sich hier lesen, aber nicht ausbessern.',
  'error.wavNotMended': '{{file}} ließ sich nicht ausbessern; prüfen, ob sie beschrieben werden darf.',
  'error.wavExists': '{{file}} gibt es schon und wird nicht überschrieben.',
  'error.wavDiskFull':
    '{{file}} ließ sich nicht schreiben: Der Datenträger ist voll; Platz schaffen und eine neue Aufnahme beginnen.',
  'error.wavForbidden':
    '{{file}} ließ sich nicht schreiben: Der Ordner darf nicht beschrieben werden; einen anderen wählen.',
  'error.wavDiskFault':
    '{{file}} ließ sich nicht schreiben: Der Datenträger meldet einen Fehler; ihn prüfen und eine neue Aufnahme beginnen.',
  'error.wavDiskSlow':
    '{{file}} wurde beendet: Der Datenträger ist zu langsam für diese Aufnahme; einen schnelleren nehmen.',

  'error.noSource': 'Keine Quelle ist offen; erst die Schnittstelle oder die Vorführfahrt wählen.',
  'error.channelNotThere': 'Kanal {{channel}} gibt es nicht: Die Quelle hat {{available}}.',
  'error.placementsRecording': 'Die Plätze einer Fahrt bleiben, wie sie sind; erst die Aufnahme beenden.',
  'error.placementsRecorded': 'Die Plätze einer aufgenommenen Fahrt lassen sich hier nicht ändern.',
  'error.markWithoutRecording': 'Eine Marke gehört zu einer Aufnahme; erst eine beginnen.',
  'error.isARecording': 'Das ist schon eine Aufnahme; für eine neue die Schnittstelle öffnen.',
  'error.diskFull': 'Der Datenträger ist voll: Nichts würde aufgenommen. Erst Platz schaffen.',
  'error.diskNearlyFull':
    'Der Datenträger ist fast voll: Die Aufnahme wurde beendet und ist bis hierher vollständig. Platz schaffen.',
  'error.diskLow':
    'Nur noch {{free_GB, tenths}} GB sind frei; die Aufnahme endet, wenn der Datenträger voll ist.',
  'error.sourceEnded': 'Die Quelle ist zu Ende.',
  'error.streamUnclear': 'Der Datenstrom ließ sich nicht verstehen ({{why}}); die Quelle neu öffnen.',
  'error.historyNotWritten':
    'Der Ton wird behalten, aber der Verlauf ließ sich nicht schreiben ({{why}}); Platz schaffen und den Ordner prüfen.',
  'error.checkNeedsSource': 'Erst die Schnittstelle öffnen: Eine Prüfung hört auf ihre Kanäle.',
  'error.checkNeedsPickup': 'Noch sitzt kein Aufnehmer: Es gibt nichts zu prüfen.',
  'error.noPickupOn': 'Auf Kanal {{channel}} sitzt kein Aufnehmer.',
  'error.cardNeedsSource': 'Erst die Schnittstelle öffnen: Die Fahrkarte folgt der laufenden Quelle.',
  'error.cardNotFollowed': 'Der Fahrkarte wird nicht gefolgt; erst damit beginnen.',
  'error.noCard': 'Dieser Besuch hat noch keine Fahrkarte; erst eine vorschlagen lassen.',

  'error.recordingBeforeAnalysis': 'Eine Aufnahme läuft; sie beenden, ehe der Besuch ausgewertet wird.',
  'error.recordingBeforeListening': 'Eine Aufnahme läuft; sie beenden, ehe der Nachweis angehört wird.',
  'error.nothingRecorded': 'In diesem Besuch ist noch nichts aufgenommen; erst eine Fahrt machen.',
  'error.recordingsGone':
    'Die Aufnahmen dieses Besuchs sind nicht mehr da, auswerten lässt er sich nicht; neu aufzeichnen.',
  'error.noFindings': 'Dieser Besuch hat noch keinen Befund; erst auswerten lassen.',
  'error.nothingConvincing': 'Aus diesem Befund lässt sich nichts anhören: Kein Ort tritt hervor.',
  'error.otherRuns': 'Der Besuch hat andere Fahrten als sein Befund; erst neu auswerten lassen.',
  'error.runGone': 'Die Aufnahme der Fahrt {{run}} ist nicht mehr da.',
  'error.evidenceUnplayable':
    'Der Nachweis lässt sich nicht allein anhören: Die Geschwindigkeit seiner Fahrt ist nicht gut genug bekannt.',
  'error.channelNotInRun': 'Kanal {{channel}} gehört nicht zu dieser Fahrt.',
  'error.channelNotPickup': 'Kanal {{channel}} ist kein Aufnehmer dieser Fahrt.',
  'error.recordingNotKept':
    'Die Aufnahme {{file}} wird nicht mehr aufbewahrt und ist nicht zu hören; ihre Messwerte und Spektren sind noch da.',
  'error.noSuchStretch': 'Diese Fahrt hat keinen Abschnitt in diesem Fahrzustand und dieser Geschwindigkeit.',

  'error.reportNotWritten':
    'Der Bericht ließ sich nicht nach {{path}} schreiben: Der Ordner muss da und beschreibbar sein, und der Datenträger braucht Platz.',
  'error.noBrowserForPdf':
    'Ein PDF braucht Chromium oder Chrome, und keines ist installiert: eines installieren, oder den Bericht als HTML sichern und das drucken.',
  'error.pdfNotMade':
    '{{browser}} hat das PDF nicht gemacht: nochmals versuchen, oder den Bericht als HTML sichern und das drucken.',

  'error.pickupUnknown': 'Aufnehmer: {{pickup}} ist in keinem Aufnehmersatz der Einstellungen.',
  'error.photoOfAnother': 'Foto: Dieses Bild gehört nicht zum Besuch; es neu hinzufügen.',
  'error.photoEmpty': 'Foto: Die Datei ist leer.',
  'error.photoTooLarge': 'Foto: höchstens {{most_kB}} kB.',
  'error.photoOtherKind': 'Foto: Die Datei ist kein Bild der Art, die ihr Name nennt.',
  'error.photoGone': 'Die Datei des Bildes ist nicht mehr da; sie aus einer Sicherung zurückholen.',
  'error.photoChanged': 'Die Datei des Bildes wurde seit der Aufnahme geändert; sie wird nicht gezeigt.',
  'error.calibrateWhat':
    'Kanal {{channel}}: erst angeben, welcher Aufnehmer daran hängt und welche Schnittstelle das ist.',
  'error.calibrationRefused':
    'Kanal {{channel}}: Die letzte Kalibrierung wurde verworfen, oder es gibt keine.',
  'error.channelWithoutPickup': 'Kanal {{channel}}: Daran sitzt kein Aufnehmer.',

  'error.notInGarage.vehicle': 'Dieses Fahrzeug ist nicht im Bestand.',
  'error.notInGarage.visit': 'Dieser Besuch ist nicht im Bestand.',
  'error.notInGarage.run': 'Diese Fahrt ist nicht im Bestand.',
  'error.notInGarage.picture': 'Dieses Bild ist nicht im Bestand.',
  'error.runFinished': 'Diese Fahrt war schon beendet.',
  'error.garageOpen':
    'Rumblepath ist mit diesem Bestand schon offen; jenes Fenster benutzen oder erst schließen.',
  'error.garageFolder': 'Den Ordner {{folder}} gibt es nicht; einen anderen Platz für den Bestand wählen.',
  'error.garageOfAnother':
    'Diese Datei gehört einem anderen Programm; eine Bestandsdatei oder einen neuen Namen wählen.',
  'error.garageNewer':
    'Dieser Bestand wurde von einer neueren Version von Rumblepath geschrieben; jene Version installieren.',
  'error.garageNotMigrated':
    'Dieser Bestand ließ sich nicht auf die neueste Version bringen und ist, wie er war; eine Kopie davon machen und das melden.',
  'error.sqlite.NOTADB':
    '{{file}} ist keine Bestandsdatei; eine andere wählen oder eine Sicherung zurückholen.',
  'error.sqlite.CORRUPT':
    '{{file}} ist beschädigt; die letzte Sicherung zurückholen und die beschädigte Datei zur Reparatur aufheben.',
  'error.sqlite.FULL':
    'Der Datenträger ist voll, der Bestand ließ sich nicht sichern; Platz schaffen und nochmals versuchen.',
  'error.sqlite.READONLY': '{{file}} darf nicht beschrieben werden; die Rechte des Ordners prüfen.',
  'error.sqlite.CANTOPEN':
    '{{file}} lässt sich nicht öffnen; prüfen, ob der Ordner da ist und beschrieben werden darf.',
  'error.sqlite.IOERR':
    'Der Datenträger antwortet nicht richtig, während {{file}} benutzt wird; ihn prüfen, ehe es weitergeht.',
  'error.sqlite.BUSY': 'Ein anderes Programm hält {{file}} fest; jenes beenden und nochmals versuchen.',
  'error.sqlite.CONSTRAINT': 'Das passt nicht zu dem, was der Bestand schon enthält; nichts wurde geändert.',
  'error.sqlite.other': '{{file}} ließ sich nicht benutzen; im Protokoll steht, warum.',

  'error.backupNotMade': 'Die Sicherung {{file}} wurde nicht gemacht; frühere sind, wie sie waren. {{why}}',
  'error.backupNotFinished':
    'Die Sicherung in {{folder}} wurde nicht fertig; prüfen, ob der Ordner beschrieben werden darf und Platz da ist. Eine frühere Sicherung dort ist, wie sie war.',
  'error.notABackup':
    '{{folder}} ist keine vollständige Sicherung; den Ordner wählen, in dem {{manifest}} liegt.',
  'error.restoreNotCopied':
    'Die Sicherung in {{folder}} ließ sich nicht kopieren; prüfen, ob sie lesbar ist und Platz da ist. Der Bestand ist, wie er war.',
  'error.restoreMissing':
    '{{file}} fehlt in der Sicherung; nichts wurde zurückgeholt, und der Bestand ist, wie er war.',
  'error.restoreChanged':
    '{{file}} in der Sicherung wurde geändert oder beschädigt; nichts wurde zurückgeholt, und der Bestand ist, wie er war.',
  'error.restoreDamaged':
    '{{file}} in der Sicherung ist beschädigt ({{why}}); nichts wurde zurückgeholt, und der Bestand ist, wie er war.',
  'restore.staged':
    'Die Sicherung ist vollständig und heil. Sie nimmt beim nächsten Start von Rumblepath den Platz dieses Bestands ein; was jetzt hier ist, wird daneben aufgehoben.',
  'error.supportNotShown': 'Erst ansehen, was der Text enthält.',
  'error.supportNotWritten':
    'Der Text wurde nicht nach {{path}} geschrieben: Der Ordner muss da und beschreibbar sein, und die Datei neu.',

  'error.bundle': '{{file}}: {{why}}',
  'error.bundleField': '{{file}}: {{field}}: {{why}}',
  'bundle.notThere': 'ist nicht da; den Ordner eines Besuchsbündels wählen',
  'bundle.notAFile': 'ist keine Datei',
  'bundle.tooLarge': 'ist zu groß für ein Besuchsbündel',
  'bundle.notJson': 'ist kein JSON ({{why}})',
  'bundle.tooDeep': 'ist tiefer als {{most}} verschachtelt',
  'bundle.noRecording': 'diese Aufnahme fehlt im Bündel',
  'bundle.channelNotThere': 'ist {{channel}}, aber {{file}} hat nur {{channels}} Kanäle',
  'bundle.noRun': 'enthält keine Fahrt zum Auswerten',
  'error.importNotCopied': '{{file}} ließ sich nicht in den Bestand kopieren; prüfen, ob Platz da ist.',
  'error.notExported':
    'Das Bündel wurde nicht nach {{folder}} geschrieben: Der Ordner muss neu oder leer sein, und der Datenträger braucht Platz.',

  'notice.leftoversRemoved_one':
    'Eine unfertige Datei, die eine Unterbrechung hinterlassen hatte, wurde entfernt.',
  'notice.leftoversRemoved_other':
    '{{count}} unfertige Dateien, die eine Unterbrechung hinterlassen hatte, wurden entfernt.',
  'notice.recordingKept':
    'Die Aufnahme {{file}} wurde unterbrochen; ihre {{kept_s, tenths}} s sind erhalten.',
  'notice.recordingEmpty': 'Die Aufnahme {{file}} wurde unterbrochen, ehe Ton gesichert war.',
  'notice.restored': 'Der zurückgeholte Bestand ist an seinem Platz.',
  'notice.restoredBeside':
    'Der zurückgeholte Bestand ist an seinem Platz; was vorher hier war, liegt in {{folder}}.',
};
