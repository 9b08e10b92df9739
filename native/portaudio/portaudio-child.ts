/**
 * The program of the child process in which PortAudio runs: it lists devices, captures from one or plays to
 * one, whichever its parent asks first, and ends. Whatever happens to it, the parent only sees it fall silent
 * or exit.
 */
import { constants, setPriority } from 'node:os';
import { setTimeout as sleep } from 'node:timers/promises';
import type { DeviceInfo } from 'naudiodon';
import { PlayQueue } from '../output/play-queue.ts';
import { type Addon, type AddonStream, loadAddon, type StreamOptions } from './addon.ts';
import type {
  CaptureRequest,
  DeviceRef,
  FromChild,
  ListedDevice,
  PlayRequest,
  RefusalReason,
  ToChild,
} from './messages.ts';

const RATES_HZ = [44_100, 48_000, 96_000];
const PRESENCE_EVERY_MS = 250;

interface ElectronParentPort {
  postMessage(message: unknown): void;
  on(event: 'message', listener: (event: { data: unknown }) => void): void;
}
const electronPort = (process as { parentPort?: ElectronParentPort }).parentPort;

function send(message: FromChild): void {
  if (electronPort) electronPort.postMessage(message);
  else if (process.connected) process.send!(message, undefined, {}, () => {});
}

/** PortAudio's own clean-up can hang, and nothing here needs one. */
function end(): void {
  process.kill(process.pid, 'SIGKILL');
}

class Refused extends Error {
  readonly reason: RefusalReason;
  readonly channelsThere: number | undefined;
  constructor(reason: RefusalReason, detail: string, channelsThere?: number) {
    super(detail);
    this.reason = reason;
    this.channelsThere = channelsThere;
  }
}

/** ALSA puts the card's number into the name; after replugging it may be another. */
const withoutCardNumber = (name: string) => name.replace(/ \(hw:\d+,\d+\)$/, '');

function findDevice(addon: Addon, ref: DeviceRef | null, direction: 'input' | 'output'): DeviceInfo {
  const devices = addon.getDevices();
  const { defaultHostAPI, HostAPIs } = addon.getHostAPIs();
  const ids = HostAPIs[defaultHostAPI];
  const ofHostApi = devices.filter((d) => ref?.hostApi === undefined || d.hostAPIName === ref.hostApi);
  const found =
    ref === null
      ? devices.find((d) => d.id === (direction === 'input' ? ids?.defaultInput : ids?.defaultOutput))
      : (ofHostApi.find((d) => d.name === ref.name) ??
        ofHostApi.find((d) => withoutCardNumber(d.name) === withoutCardNumber(ref.name)));
  if (!found)
    throw new Refused('missing', `not among ${devices.map((d) => d.name).join(', ') || 'no devices'}`);
  return found;
}

/** PortAudio's words for the usual refusals. */
function refusalOf(error: unknown): Refused {
  if (error instanceof Refused) return error;
  const detail = (error as Error).message;
  const reason: RefusalReason = /sample rate/i.test(detail)
    ? 'rate'
    : /channel/i.test(detail)
      ? 'channels'
      : /unavailable|busy/i.test(detail)
        ? 'busy'
        : /no default device|invalid device/i.test(detail)
          ? 'missing'
          : 'other';
  return new Refused(reason, detail);
}

/** Held here because a stream that is collected while it runs crashes the process. */
let stream: AddonStream | null = null;
let stopping = false;

let lastQuit: Promise<void> = Promise.resolve();
/** One after the other: of two at the same time one never resolves. */
function quit(open: AddonStream): Promise<void> {
  lastQuit = lastQuit.then(() => open.quit('WAIT'));
  return lastQuit;
}

async function stop(): Promise<void> {
  if (stopping) return;
  stopping = true;
  if (stream) await quit(stream);
  send({ kind: 'stopped' });
}

/** What ALSA names without a card belongs to a sound server. */
const isRouted = (device: DeviceInfo) =>
  device.hostAPIName === 'ALSA' && withoutCardNumber(device.name) === device.name;

/**
 * A sound server moves the stream to another device when its own is pulled, and says nothing. Whether the
 * device is still there shows when it is opened once more; that takes 2 ms, 1.5 % of a core in all.
 */
async function watchPresence(addon: Addon, options: StreamOptions): Promise<void> {
  while (!stopping) {
    await sleep(PRESENCE_EVERY_MS);
    if (stopping) return;
    let probe: AddonStream;
    try {
      probe = addon.create({ inOptions: options });
    } catch (error) {
      throw new Refused('missing', `gone while its stream went on: ${(error as Error).message}`);
    }
    await quit(probe);
  }
}

async function forward(open: AddonStream, request: CaptureRequest): Promise<void> {
  // Whole frames, so that every block begins with the first channel.
  const bytes = (request.framesPerBlock * request.channels * request.bits) / 8;
  while (!stopping) {
    const { err, buf, finished } = await open.read(bytes);
    if (err) send({ kind: 'overflow', frames: request.framesPerBlock });
    else if (buf && buf.length > 0) send({ kind: 'data', bytes: buf });
    if (finished) return;
  }
}

async function capture(addon: Addon, request: CaptureRequest): Promise<void> {
  const device = findDevice(addon, request.device, 'input');
  if (request.channels > device.maxInputChannels)
    throw new Refused('channels', `${device.maxInputChannels} channels`, device.maxInputChannels);
  const options: StreamOptions = {
    deviceId: device.id,
    sampleRate: request.sampleRate_Hz,
    channelCount: request.channels,
    sampleFormat: request.bits,
    maxQueue: 100,
    closeOnError: true,
  };
  stream = addon.create({ inOptions: options });
  stream.start();
  await Promise.all([
    forward(stream, request),
    isRouted(device) ? watchPresence(addon, options) : Promise.resolve(),
  ]);
}

/** Two such blocks wait in front of PortAudio, which takes its own block at a time. */
const PLAY_BLOCK_S = 0.005;
const REPORT_EVERY_S = 0.25;

/**
 * Sound waits in three places: in the PlayQueue for late capture, in the addon's queue for this thread, in
 * PortAudio's buffer (three of these blocks under ALSA) for both. Found by experiment, all on PulseAudio, from
 * a sample written to its capture at the speakers: 5 ms ran dry even on a quiet machine at 45 ms in all; 10 ms
 * did not at 68 ms; 15 ms bridged more stalls at 80 ms; 20 ms came to more than 100 ms.
 */
const PORTAUDIO_BLOCK_S = 0.012;

/** Opens at the samples' own rate, or at the output's default if it does not take that. */
function openOutput(addon: Addon, device: DeviceInfo, wanted_Hz: number) {
  const channels = Math.min(2, device.maxOutputChannels);
  const open = (sampleRate: number) => ({
    channels,
    sampleRate,
    opened: addon.create({
      outOptions: {
        deviceId: device.id,
        sampleRate,
        channelCount: channels,
        sampleFormat: 1,
        maxQueue: 2,
        framesPerBuffer: Math.round(PORTAUDIO_BLOCK_S * sampleRate),
        closeOnError: true,
      },
    }),
  });
  try {
    return open(wanted_Hz);
  } catch (error) {
    if (refusalOf(error).reason !== 'rate' || device.defaultSampleRate === wanted_Hz) throw error;
    return open(device.defaultSampleRate);
  }
}

let queue: PlayQueue | null = null;

async function play(addon: Addon, request: PlayRequest): Promise<void> {
  const device = findDevice(addon, request.device, 'output');
  if (device.maxOutputChannels < 1) throw new Refused('channels', 'no output channels', 0);
  const { opened, sampleRate, channels } = openOutput(addon, device, request.sampleRate_Hz);
  stream = opened;
  queue = new PlayQueue(request.sampleRate_Hz, sampleRate);
  stream.start();
  send({ kind: 'playing', sampleRate_Hz: sampleRate });
  const mono = new Float32Array(Math.round(PLAY_BLOCK_S * sampleRate));
  const block = new Float32Array(mono.length * channels);
  const bytes = Buffer.from(block.buffer);
  let underruns = 0;
  let unreported_s = 0;
  while (!stopping) {
    queue.pull(mono);
    for (let f = 0; f < mono.length; f++) block.fill(mono[f]!, f * channels, (f + 1) * channels);
    // The device sets the pace: the write resolves when the queue has room again.
    const complaint = await stream.write(bytes);
    if (complaint?.includes('output underflow')) underruns++;
    unreported_s += PLAY_BLOCK_S;
    if (unreported_s >= REPORT_EVERY_S) {
      unreported_s = 0;
      send({ kind: 'played', underruns, starved: queue.starved });
    }
  }
}

/** Opening at a rate is the only way to ask; a device that is in use refuses them all. */
async function ratesOf(addon: Addon, device: DeviceInfo): Promise<number[]> {
  const rates: number[] = [];
  for (const sampleRate of RATES_HZ) {
    try {
      stream = addon.create({
        inOptions: {
          deviceId: device.id,
          sampleRate,
          channelCount: Math.min(device.maxInputChannels, 32),
          sampleFormat: 16,
          maxQueue: 2,
          closeOnError: true,
        },
      });
    } catch {
      continue;
    }
    rates.push(sampleRate);
    await quit(stream);
  }
  return rates;
}

async function list(addon: Addon): Promise<void> {
  const found = addon.getDevices();
  const { defaultHostAPI, HostAPIs } = addon.getHostAPIs();
  const ids = HostAPIs[defaultHostAPI];
  const devices = found.map(
    (d): ListedDevice => ({
      name: d.name,
      hostApi: d.hostAPIName,
      inputChannels: d.maxInputChannels,
      outputChannels: d.maxOutputChannels,
      defaultSampleRate_Hz: d.defaultSampleRate,
      isDefaultInput: d.id === ids?.defaultInput,
      isDefaultOutput: d.id === ids?.defaultOutput,
    }),
  );
  send({ kind: 'devices', devices });
  for (const [index, device] of found.entries())
    if (device.maxInputChannels > 0)
      send({ kind: 'rates', index, sampleRates_Hz: await ratesOf(addon, device) });
  send({ kind: 'listed' });
}

/** PortAudio's threads inherit it: sound must not wait for a spectrum. Without the right to it, it stays normal. */
function takePriority(): void {
  try {
    setPriority(constants.priority.PRIORITY_HIGH);
  } catch {}
}

async function obey(message: ToChild): Promise<void> {
  try {
    if (message.kind === 'list') await list(loadAddon());
    else if (message.kind === 'capture') await capture(loadAddon(), message);
    else if (message.kind === 'play') await play(loadAddon(), message);
    else if (message.kind === 'samples') queue?.push(message.samples);
    else await stop();
  } catch (error) {
    const { reason, message: detail, channelsThere } = refusalOf(error);
    send({ kind: 'refused', reason, detail, ...(channelsThere === undefined ? {} : { channelsThere }) });
  }
}

takePriority();
if (electronPort) electronPort.on('message', ({ data }) => void obey(data as ToChild));
else {
  process.on('message', (message) => void obey(message as ToChild));
  process.on('disconnect', end);
}
