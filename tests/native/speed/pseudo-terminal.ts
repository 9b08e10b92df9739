import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { setTimeout as wait } from 'node:timers/promises';

/**
 * A real pseudo-terminal made by socat: the program opens `path` as a serial port, the test holds the other end. What
 * a kernel does with a serial device that is pulled out is what it does here when socat is killed.
 */
export class PseudoTerminal {
  readonly path: string;
  readonly #folder: string;
  #socat: ChildProcessByStdio<Writable, Readable, null> | null = null;
  #onLine: (line: string) => void = () => {};

  private constructor(folder: string) {
    this.#folder = folder;
    this.path = join(folder, 'port');
  }

  static async make(): Promise<PseudoTerminal> {
    const terminal = new PseudoTerminal(await mkdtemp(join(tmpdir(), 'rumblepath-port-')));
    await terminal.plugIn();
    return terminal;
  }

  async plugIn(): Promise<void> {
    const socat = spawn('socat', [`PTY,link=${this.path},raw,echo=0`, 'STDIO'], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    this.#socat = socat;
    // Killed with bytes still to be written.
    socat.stdin.on('error', () => {});
    let line = '';
    socat.stdout.on('data', (bytes: Buffer) => {
      for (const character of bytes.toString('latin1')) {
        if (character !== '\r') line += character;
        else {
          this.#onLine(line);
          line = '';
        }
      }
    });
    while (!existsSync(this.path)) await wait(5);
  }

  /** As when the plug is pulled: the device is gone from one moment to the next. */
  async pullOut(): Promise<void> {
    const socat = this.#socat;
    this.#socat = null;
    if (!socat) return;
    const gone = new Promise((resolve) => socat.once('exit', resolve));
    socat.kill('SIGKILL');
    await gone;
    await rm(this.path, { force: true });
  }

  /** Resolves when the terminal has taken it. */
  say(text: string | Uint8Array): Promise<void> {
    const bytes = typeof text === 'string' ? Buffer.from(text, 'latin1') : text;
    return new Promise((resolve) => {
      if (this.#socat) this.#socat.stdin.write(bytes, () => resolve());
      else resolve();
    });
  }

  /** Lines that the program sends, without their carriage return. */
  onLine(listener: (line: string) => void): void {
    this.#onLine = listener;
  }

  async remove(): Promise<void> {
    await this.pullOut();
    await rm(this.#folder, { recursive: true, force: true });
  }
}
