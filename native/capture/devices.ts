import { message } from '../../shared/messages/message.ts';
import { type ForkChild, forkWithNode, portAudioChildFile } from '../portaudio/child-link.ts';
import type { FromChild, ListedDevice } from '../portaudio/messages.ts';
import { CaptureError } from './capture-source.ts';

export interface AudioDevice extends ListedDevice {
  /** Those of 44.1, 48 and 96 kHz at which its input opens; null when it could not be asked, as when in use. */
  readonly inputRates_Hz: readonly number[] | null;
}

/** The list itself is quick; asking every device for its rates is cut short after this. */
const WITHIN_MS = 4000;

/**
 * Lists the sound devices. A fresh process does it each time: PortAudio sees new devices only when it starts,
 * and a driver that hangs or crashes takes that process, not ours.
 * @throws {CaptureError} when no list could be had
 */
export function listDevices(
  forkChild: ForkChild = forkWithNode(),
  childFile: string = portAudioChildFile(),
): Promise<AudioDevice[]> {
  return new Promise((resolve, reject) => {
    const child = forkChild(childFile);
    let devices: AudioDevice[] | null = null;
    let over = false;
    const end = (cause: string) => {
      if (over) return;
      over = true;
      clearTimeout(timer);
      child.kill();
      if (devices) resolve(devices);
      else reject(new CaptureError(message('error.devicesNotListed'), { cause }));
    };
    const timer = setTimeout(() => end(`no answer within ${WITHIN_MS} ms`), WITHIN_MS);
    child.onExit(end);
    child.onMessage((received) => {
      const message = received as FromChild;
      if (message.kind === 'devices')
        devices = message.devices.map((device) => ({ ...device, inputRates_Hz: null }));
      else if (message.kind === 'rates') {
        const { index, sampleRates_Hz } = message;
        if (devices && sampleRates_Hz.length > 0)
          devices[index] = { ...devices[index]!, inputRates_Hz: sampleRates_Hz };
      } else if (message.kind === 'refused') end(message.detail);
      else if (message.kind === 'listed') end('done');
    });
    child.send({ kind: 'list' });
  });
}
