/** What went wrong and what to do: sentences of `ToldError`, and what start-up has to say. */
export const ERRORS = {
  'error.inside': 'Something went wrong inside the program; the log has the details.',
  'error.noRequest': 'There is no request called {{name}}.',
  'error.misfit':
    'The measuring side answered something this screen does not understand. Restart Rumblepath.',
  'error.unanswered':
    'The measuring side does not answer. Wait until the connection is back, then try again.',
  'error.recordingBeforePlaying': 'A recording is under way; stop it before a run is played.',

  'device.defaultInput': 'The default sound input',
  'device.defaultOutput': 'The default sound output',
  'device.input': 'The sound input',
  'device.output': 'The sound output',
  'error.noInput': 'No sound input was found; plug one in and try again.',
  'error.noOutput': 'No sound output was found; plug one in and try again.',
  'error.deviceMissing': '{{device}} is not connected; plug it in and try again.',
  'error.deviceChannels': '{{device}} does not offer {{channels}} channels; choose fewer.',
  'error.deviceInputs': '{{device}} has {{there}} input channels, not {{channels}}; choose fewer channels.',
  'error.deviceOutputs': '{{device}} has {{there}} output channels, not {{channels}}; choose fewer channels.',
  'error.deviceNoInputs': '{{device}} has 0 input channels, not {{channels}}; choose another device.',
  'error.deviceNoOutputs': '{{device}} has 0 output channels, not {{channels}}; choose another device.',
  'error.deviceRate': '{{device}} does not run at {{rate_Hz}} Hz; choose another sample rate.',
  'error.deviceBusy': '{{device}} is in use by another program; close that program and try again.',
  'error.deviceSilent': '{{device}} is there but does not run; unplug it, plug it in and try again.',
  'error.deviceOther': '{{device}} could not be opened; unplug it, plug it in and try again.',
  'error.devicesNotListed':
    'The sound devices could not be listed; unplug the interface and plug it in again.',
  'error.channelCount': '1 to 32 channels can be captured, not {{channels}}; choose another number.',
  'error.sampleRate': 'A sample rate of {{rate_Hz}} Hz is not possible; choose another one.',
  'error.captureStopped': 'The capture was stopped before it began.',
  'error.captureLost':
    '{{device}} stopped delivering sound; check its lead, and capture goes on when it is back.',
  'error.outputLost': '{{device}} stopped playing; check its lead, and listening goes on when it is back.',
  'error.recordingEmpty': 'The recording is empty; choose another one.',
  'error.pairRates':
    'The two visits were recorded at {{first_Hz}} and {{second_Hz}} Hz and cannot be played side by side; play them one after the other.',

  'error.portMissing': '{{port}} is not there; plug the receiver or adapter in and try again.',
  'error.portBusy': '{{port}} is in use by another program; close that program and try again.',
  'error.portForbidden':
    '{{port}} may not be opened by this user; have the user added to the group that owns serial ports.',
  'error.portOther': '{{port}} could not be opened as a serial port; choose another one.',
  'link.satellite.lost':
    'The satellite receiver on {{port}} is gone; plug it in again, and it is read on by itself.',
  'link.satellite.silent': 'The satellite receiver on {{port}} says nothing; check its cable and baud rate.',
  'link.satellite.flood': '{{port}} sends more than a satellite receiver can; choose another port.',
  'link.satellite.unreadable':
    'What comes from {{port}} cannot be read as a satellite receiver; check the baud rate and the port.',
  'link.noFix': 'The satellite receiver does not know where it is yet; give it a clear view of the sky.',
  'link.satellite.absurd':
    'The satellite receiver tells speeds that no vehicle drives; they are not used. Check its reception.',
  'link.satellite.noSpeed':
    'The satellite receiver on {{port}} works but tells no speed; switch its RMC or VTG sentences on.',
  'link.bus.lost': 'The bus adapter on {{port}} is gone; plug it in again, and it is read on by itself.',
  'link.bus.silent':
    'The bus adapter on {{port}} says nothing; check its plug, the ignition and the baud rate.',
  'link.bus.flood': '{{port}} sends more than a bus adapter can; choose another port.',
  'link.bus.unreadable':
    'What comes from {{port}} cannot be read as a bus adapter; check the baud rate and the port.',
  'link.noAnswer': 'The vehicle does not answer the bus adapter; switch the ignition on and check the plug.',
  'link.bus.absurd':
    'The bus adapter tells speeds that no vehicle drives; they are not used. Check its plug.',
  'link.bus.noSpeed':
    'The bus adapter on {{port}} works but tells no speed; this vehicle may not offer it, so set the speed another way.',

  'error.wavUnreadable': '{{file}} cannot be read as a WAV recording: {{why}}.',
  'wav.formatCut': 'its format chunk is cut short',
  'wav.extensibleCut': 'its extensible format chunk is cut short',
  'wav.notPlain': 'it holds a kind of sound that is not plain samples',
  'wav.encoding':
    'its samples are of a kind that cannot be read here (format {{tag}}, {{bits}} bits); save it as 16, 24 or 32 bit PCM or as 32 bit float',
  'wav.beginning': 'it does not begin like one',
  'wav.endsEarly': 'it ends before the samples begin',
  'wav.noFormat': 'the samples come before their format',
  'wav.tooManyParts': 'it has too many parts before the samples',
  'wav.channels': 'it claims {{channels}} channels; 1 to {{most}} can be read',
  'wav.rate': 'it claims a sample rate of {{rate_Hz}} Hz',
  'wav.frameSize': 'its frame size of {{bytes}} bytes does not fit {{channels}} channels of {{bits}} bits',
  'error.wavNotAFile': '{{file}} is not a file.',
  'error.wavGone': '{{file}} is not there any more.',
  'error.wavNotOpened': '{{file}} could not be opened; check the disk it lies on.',
  'error.wavNotReadOn': '{{file}} could not be read on; check the disk it lies on.',
  'error.wavTooLongToMend':
    '{{file}} is longer than its header can say; it can be read here, but it cannot be mended.',
  'error.wavNotMended': '{{file}} could not be mended; check that it can be written to.',
  'error.wavExists': '{{file}} exists already and is not overwritten.',
  'error.wavDiskFull':
    '{{file}} could not be written: the disk is full; free some space and start a new recording.',
  'error.wavForbidden': '{{file}} could not be written: the folder cannot be written to; choose another one.',
  'error.wavDiskFault':
    '{{file}} could not be written: the disk reported a fault; check it and start a new recording.',
  'error.wavDiskSlow': '{{file}} was ended: the disk is too slow for this recording; use a faster one.',

  'error.noSource': 'No source is open; choose the interface or the demo drive first.',
  'error.channelNotThere': 'Channel {{channel}} is not there: the source has {{available}}.',
  'error.placementsRecording': 'The placements of a run stay as they are; stop the recording first.',
  'error.placementsRecorded': 'The placements of a recorded run cannot be changed here.',
  'error.markWithoutRecording': 'A mark belongs to a recording; start one first.',
  'error.isARecording': 'This is a recording already; open the interface to make a new one.',
  'error.diskFull': 'The disk is full: nothing would be recorded. Free some space first.',
  'error.diskNearlyFull':
    'The disk is nearly full: the recording was ended and is complete so far. Free some space.',
  'error.diskLow':
    'Only {{free_GB, tenths}} GB are left on the disk; the recording will end when it is full.',
  'error.sourceEnded': 'The source has ended.',
  'error.streamUnclear': 'The stream could not be understood ({{why}}); open the source again.',
  'error.historyNotWritten':
    'The sound is being kept, but the history could not be written ({{why}}); free disk space and check the folder.',
  'error.checkNeedsSource': 'Open the interface first: a check listens to its channels.',
  'error.checkNeedsPickup': 'No pickup is placed yet: there is nothing to check.',
  'error.noPickupOn': 'No pickup is placed on channel {{channel}}.',
  'error.cardNeedsSource': 'Open the interface first: the road card follows the running source.',
  'error.cardNotFollowed': 'The road card is not being followed; start it first.',
  'error.noCard': 'This visit has no road card yet; have one proposed first.',

  'error.recordingBeforeAnalysis': 'A recording is under way; stop it before the visit is analysed.',
  'error.recordingBeforeListening': 'A recording is under way; stop it before you listen to the evidence.',
  'error.nothingRecorded': 'Nothing is recorded in this visit yet; record a run first.',
  'error.recordingsGone':
    'The recordings of this visit are no longer there, so it cannot be analysed; record it again.',
  'error.noFindings': 'This visit has no findings yet; have it analysed first.',
  'error.nothingConvincing': 'Nothing in these findings can be played: no place stands out.',
  'error.otherRuns': 'The visit has other runs than its findings; have it analysed again first.',
  'error.runGone': 'The recording of run {{run}} is no longer there to be played.',
  'error.evidenceUnplayable':
    'The evidence cannot be played alone: the speed of its run is not known well enough.',
  'error.channelNotInRun': 'Channel {{channel}} is not in this run.',
  'error.channelNotPickup': 'Channel {{channel}} is not a pickup of this run.',
  'error.recordingNotKept':
    'The recording {{file}} is not kept any more, so it cannot be heard; its measures and spectra are still there.',
  'error.noSuchStretch': 'This run has no stretch in that state and speed.',

  'error.reportNotWritten':
    'The report could not be written to {{path}}: the folder must be there and writable, and the disk must have room.',
  'error.noBrowserForPdf':
    'A PDF needs Chromium or Chrome, and none is installed: install one, or save the report as HTML and print that.',
  'error.pdfNotMade':
    '{{browser}} did not make the PDF: try again, or save the report as HTML and print that.',

  'error.pickupUnknown': 'Pickup: {{pickup}} is in no pickup set of the settings.',
  'error.photoOfAnother': 'Photo: this picture does not belong to the visit; add it again.',
  'error.photoEmpty': 'Photo: the file is empty.',
  'error.photoTooLarge': 'Photo: at most {{most_kB}} kB.',
  'error.photoOtherKind': 'Photo: the file is not a picture of the kind that its name says.',
  'error.photoGone': 'The picture’s file is no longer there; restore it from a backup.',
  'error.photoChanged': 'The picture’s file has been changed since it was taken; it is not shown.',
  'error.calibrateWhat':
    'Channel {{channel}}: say first which pickup hangs on it and which interface this is.',
  'error.calibrationRefused': 'Channel {{channel}}: its last calibration was refused, or there is none.',
  'error.channelWithoutPickup': 'Channel {{channel}}: no pickup is placed on it.',

  'error.notInGarage.vehicle': 'This vehicle is not in the garage.',
  'error.notInGarage.visit': 'This visit is not in the garage.',
  'error.notInGarage.run': 'This run is not in the garage.',
  'error.notInGarage.picture': 'This picture is not in the garage.',
  'error.runFinished': 'This run was finished already.',
  'error.garageOpen': 'Rumblepath is open already on this garage; use that window or close it first.',
  'error.garageFolder': 'There is no folder {{folder}}; choose another place for the garage.',
  'error.garageOfAnother': 'This file belongs to another program; choose a garage file or a new name.',
  'error.garageNewer':
    'This garage was written by a newer version of Rumblepath; install that version to open it.',
  'error.garageNotMigrated':
    'This garage could not be brought to the newest version and is as it was; make a copy of it and report this.',
  'error.sqlite.NOTADB': '{{file}} is not a garage file; choose another one or restore a backup.',
  'error.sqlite.CORRUPT':
    '{{file}} is damaged; restore the latest backup and keep the damaged file for repair.',
  'error.sqlite.FULL': 'The disk is full, so the garage could not be saved; free some space and try again.',
  'error.sqlite.READONLY': '{{file}} cannot be written to; check the permissions of its folder.',
  'error.sqlite.CANTOPEN': '{{file}} cannot be opened; check that its folder exists and may be written to.',
  'error.sqlite.IOERR': 'The disk does not answer properly while {{file}} is used; check it before going on.',
  'error.sqlite.BUSY': 'Another program is holding {{file}}; close it and try again.',
  'error.sqlite.CONSTRAINT': 'This does not fit what the garage already holds, so nothing was changed.',
  'error.sqlite.other': '{{file}} could not be used; the log says why.',

  'error.backupNotMade': 'The backup {{file}} was not made; earlier backups are as they were. {{why}}',
  'error.backupNotFinished':
    'The backup in {{folder}} was not finished; check that the folder can be written to and the disk has room. An earlier backup there is as it was.',
  'error.notABackup': '{{folder}} is not a complete backup; choose the folder that holds {{manifest}}.',
  'error.restoreNotCopied':
    'The backup in {{folder}} could not be copied; check that it can be read and the disk has room. The garage is as it was.',
  'error.restoreMissing':
    '{{file}} of the backup is missing; nothing was restored and the garage is as it was.',
  'error.restoreChanged':
    '{{file}} of the backup has been changed or damaged; nothing was restored and the garage is as it was.',
  'error.restoreDamaged':
    '{{file}} of the backup is damaged ({{why}}); nothing was restored and the garage is as it was.',
  'restore.staged':
    'The backup is complete and sound. It takes the place of this garage when Rumblepath is started next; what is here now is kept beside it.',
  'error.supportNotShown': 'Look at what the support bundle contains first.',
  'error.supportNotWritten':
    'The support bundle was not written to {{path}}: the folder must be there and writable, and the file new.',

  'error.bundle': '{{file}}: {{why}}',
  'error.bundleField': '{{file}}: {{field}}: {{why}}',
  'bundle.notThere': 'is not there; choose the folder of a visit bundle',
  'bundle.notAFile': 'is not a file',
  'bundle.tooLarge': 'is too large for a visit',
  'bundle.notJson': 'is not JSON ({{why}})',
  'bundle.tooDeep': 'is nested more than {{most}} deep',
  'bundle.noRecording': 'there is no such recording in the bundle',
  'bundle.channelNotThere': 'is {{channel}}, but {{file}} has only {{channels}} channels',
  'bundle.noRun': 'holds no run to analyse',
  'error.importNotCopied': '{{file}} could not be copied into the garage; check the disk’s free space.',
  'error.notExported':
    'The visit was not exported to {{folder}}: the folder must be new or empty, and the disk must have room.',

  'notice.leftoversRemoved_one': 'An unfinished file that an interruption had left was removed.',
  'notice.leftoversRemoved_other': '{{count}} unfinished files that an interruption had left were removed.',
  'notice.recordingKept': 'The recording {{file}} was interrupted; its {{kept_s, tenths}} s have been kept.',
  'notice.recordingEmpty': 'The recording {{file}} was interrupted before any sound was saved.',
  'notice.restored': 'The restored garage is in its place.',
  'notice.restoredBeside': 'The restored garage is in its place; what was here before is kept in {{folder}}.',
} as const;
