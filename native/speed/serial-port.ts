import type { SerialPort } from 'serialport';
import { type Message, message } from '../../shared/messages/message.ts';
import { SpeedLinkError } from './speed-link-error.ts';

/** A serial port as the technician chooses it. */
export interface SerialPortEntry {
  readonly path: string;
  /** What the system knows of the device behind it. */
  readonly label: string;
}

/** Loaded when a serial port is first asked for: a program that needs none runs without its native part. */
const library = () => import('serialport');

/** Ports that are there now, those with a named device first. */
export async function listSerialPorts(): Promise<SerialPortEntry[]> {
  const { SerialPort } = await library();
  // Where the system's own list cannot be had (Linux without udev) a path can still be typed.
  const found = await SerialPort.list().catch(() => []);
  return found
    .map(({ path, pnpId, manufacturer }) => ({ path, label: pnpId ?? manufacturer ?? '' }))
    .sort((a, b) => Number(b.label !== '') - Number(a.label !== '') || a.path.localeCompare(b.path));
}

export interface PortListener {
  onBytes(bytes: Uint8Array): void;
  /** The port is gone, pulled out for instance. Not called after `close`. */
  onGone(): void;
}

/** An open port. Eight data bits, no parity, one stop bit, no flow control, as NMEA 0183 and adapters have it. */
export interface OpenPort {
  write(line: string): void;
  /** Bytes wait in the system's buffer, which drops what does not fit. */
  pause(): void;
  resume(): void;
  /** Resolves in any case: a port that hangs is left to itself. */
  close(): Promise<void>;
}

/** A driver that has lost its device may never answer to a close. */
const CLOSE_PATIENCE_MS = 1000;

/** @throws {SpeedLinkError} when the port cannot be opened, with the reason in words */
export async function openSerialPort(
  path: string,
  baudRate: number,
  listener: PortListener,
): Promise<OpenPort> {
  const { SerialPort } = await library();
  let port: SerialPort;
  try {
    port = new SerialPort({ path, baudRate, autoOpen: false, highWaterMark: 4096 });
    await new Promise<void>((resolve, reject) => {
      port.open((error) => (error ? reject(error) : resolve()));
    });
  } catch (cause) {
    throw new SpeedLinkError(refusalWords(path, String(cause)), { cause });
  }
  let closed = false;
  const gone = (): void => {
    if (closed) return;
    closed = true;
    listener.onGone();
  };
  port.on('data', (bytes: Uint8Array) => {
    if (!closed) listener.onBytes(bytes);
  });
  port.on('close', gone);
  port.on('error', gone);
  return {
    write: (line) => {
      if (!closed) port.write(line, 'ascii');
    },
    pause: () => port.pause(),
    resume: () => port.resume(),
    close: async () => {
      closed = true;
      if (!port.isOpen) return;
      await new Promise<void>((resolve) => {
        const patience = setTimeout(resolve, CLOSE_PATIENCE_MS);
        port.close(() => {
          clearTimeout(patience);
          resolve();
        });
      });
    },
  };
}

/** The library gives the system's words; they differ between Linux, macOS and Windows. */
function refusalWords(port: string, reason: string): Message {
  if (/no such file|file not found/i.test(reason)) return message('error.portMissing', { port });
  if (/lock|busy|access denied/i.test(reason)) return message('error.portBusy', { port });
  if (/permission denied/i.test(reason)) return message('error.portForbidden', { port });
  return message('error.portOther', { port });
}
