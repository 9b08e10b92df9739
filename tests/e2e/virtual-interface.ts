import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** The order of channels that ALSA's pulse plugin asks for; with another map PulseAudio would mix them. */
const CHANNEL_MAPS: Readonly<Record<number, string>> = {
  1: 'mono',
  2: 'front-left,front-right',
  4: 'front-left,front-right,rear-left,rear-right',
  6: 'front-left,front-right,rear-left,rear-right,front-center,lfe',
  8: 'front-left,front-right,rear-left,rear-right,front-center,lfe,side-left,side-right',
};

/** PulseAudio 16.1 has been seen to crash by itself, in about one of thirty full runs: such a test is run once more. */
export const ENDED_BY_ITSELF = 'PulseAudio ended by itself';

/** Makes a null sink work in steps of 50 ms at most, like a real device, instead of 2 s. */
const NO_REWINDS = 'norewinds=1';

export interface VirtualInterfaceOptions {
  readonly channels?: 1 | 2 | 4 | 6 | 8;
  readonly sampleRate_Hz?: number;
}

/**
 * An audio interface without hardware: a private PulseAudio server with two null sinks. What is played into
 * the sink "pickups" is what PortAudio captures from the device "pickups"; what the program plays to the
 * device "speakers" can be recorded from that sink. Each instance has its own server, folder and ALSA
 * configuration, so that several can run side by side, also as root.
 */
export class VirtualInterface {
  /** Name of the capture device as PortAudio lists it. */
  static readonly INPUT = 'pickups';
  /** Name of the output device as PortAudio lists it; it is the default output, too. */
  static readonly OUTPUT = 'speakers';
  /** Name of a capture device that gives what is played to the speakers. */
  static readonly HEARD = 'heard';

  readonly dir: string;
  /** Environment for a program that shall see this interface. */
  readonly env: Readonly<Record<string, string>>;
  readonly #channels: number;
  readonly #rate: number;
  #server: ChildProcess | null = null;
  #pickupsModule: string | null = null;
  readonly #players = new Set<ChildProcess>();

  private constructor(dir: string, options: VirtualInterfaceOptions) {
    this.dir = dir;
    this.#channels = options.channels ?? 8;
    this.#rate = options.sampleRate_Hz ?? 48_000;
    this.env = {
      ALSA_CONFIG_PATH: join(dir, 'asound.conf'),
      PULSE_SERVER: `unix:${join(dir, 'native')}`,
      PULSE_RUNTIME_PATH: dir,
      PULSE_STATE_PATH: dir,
      PULSE_CONFIG_PATH: dir,
      PULSE_COOKIE: join(dir, 'cookie'),
    };
  }

  static async start(options: VirtualInterfaceOptions = {}): Promise<VirtualInterface> {
    const made = new VirtualInterface(await mkdtemp(join(tmpdir(), 'virtual-interface-')), options);
    const device = (name: string, of?: string) =>
      `pcm.${name} { type pulse server "${made.env.PULSE_SERVER}" ${of ? `device "${of}"` : ''} }\n`;
    // Without a default device PortAudio 19.7 aborts the process while it lists the devices.
    await writeFile(
      made.env.ALSA_CONFIG_PATH!,
      device(VirtualInterface.INPUT, 'pickups.monitor') +
        device(VirtualInterface.OUTPUT, 'speakers') +
        device(VirtualInterface.HEARD, 'speakers.monitor') +
        device('!default'),
    );
    // Its real-time threads would be killed by the kernel when they are busy for 0.2 s on end, as after a stall.
    await writeFile(join(made.dir, 'daemon.conf'), 'rlimit-rttime = -1\n');
    await made.startServer();
    return made;
  }

  async #pactl(...args: string[]): Promise<string> {
    const ended = this.#endedByItself;
    if (ended) {
      await this.startServer();
      throw new Error(`${ENDED_BY_ITSELF} (${ended})`);
    }
    const { stdout } = await run('pactl', args, { env: { ...process.env, ...this.env } });
    return stdout.trim();
  }

  /** How the server ended without having been told to; null while it runs. By a signal it leaves no exit code. */
  get #endedByItself(): string | null {
    const { exitCode = null, signalCode = null } = this.#server ?? {};
    return exitCode === null ? signalCode : `exit code ${exitCode}`;
  }

  async #count(streams: 'sink-inputs' | 'source-outputs'): Promise<number> {
    return (await this.#pactl('list', 'short', streams)).split('\n').filter(Boolean).length;
  }

  async #grew(streams: 'sink-inputs' | 'source-outputs', before: number): Promise<boolean> {
    for (let tries = 0; tries < 50; tries++) {
      if ((await this.#count(streams)) > before) return true;
      await sleep(50);
    }
    return false;
  }

  /** Starts the sound server with both sinks; after `killServer()` this brings the interface back. */
  async startServer(): Promise<void> {
    this.#server = spawn(
      'pulseaudio',
      [
        '-n',
        '--daemonize=no',
        '--use-pid-file=no',
        '--exit-idle-time=-1',
        // It would end itself when it takes most of a processor for a while.
        '--no-cpu-limit',
        '--log-level=error',
        '--load',
        `module-native-protocol-unix auth-anonymous=1 socket=${join(this.dir, 'native')}`,
      ],
      { env: { ...process.env, ...this.env }, stdio: 'ignore' },
    );
    // A test that crashes leaves no server behind.
    const server = this.#server;
    const end = () => server.kill('SIGKILL');
    process.once('exit', end);
    server.once('exit', () => process.off('exit', end));
    for (let tries = 0; ; tries++) {
      const ended = this.#endedByItself;
      if (ended) throw new Error(`PulseAudio does not start (${ended})`);
      try {
        await this.#pactl('info');
        break;
      } catch (cause) {
        if (tries === 50) throw new Error('PulseAudio does not start', { cause });
        await sleep(100);
      }
    }
    await this.#pactl(
      'load-module',
      'module-null-sink',
      'sink_name=speakers',
      NO_REWINDS,
      'channels=2',
      `rate=${this.#rate}`,
    );
    await this.replug();
    await this.#pactl('set-default-sink', 'speakers');
    await this.#pactl('set-default-source', 'pickups.monitor');
  }

  /** Plays a sound file into the pickups until it ends; resolves once it sounds. */
  async play(file: string): Promise<void> {
    const before = await this.#count('sink-inputs');
    // The sink's own map, whatever the file's header says: else PulseAudio would mix by loudspeaker place.
    const map = `--channel-map=${CHANNEL_MAPS[this.#channels]}`;
    const player = spawn('paplay', ['--device=pickups', '--latency-msec=2500', map, file], {
      env: { ...process.env, ...this.env },
      stdio: 'ignore',
    });
    this.#players.add(player);
    player.once('exit', () => this.#players.delete(player));
    if (await this.#grew('sink-inputs', before)) return;
    throw new Error(`paplay does not play ${file}`);
  }

  /** Ends what is being played; the pickups give nothing then. */
  async silence(): Promise<void> {
    const players = [...this.#players];
    const ended = players.map((player) => once(player, 'exit'));
    for (const player of players) player.kill('SIGKILL');
    await Promise.all(ended);
  }

  /** Takes the pickups away, as when the lead is pulled. */
  async unplug(): Promise<void> {
    if (this.#pickupsModule === null) return;
    await this.#pactl('unload-module', this.#pickupsModule);
    this.#pickupsModule = null;
  }

  /** @param sampleRate_Hz what the pickups run at from now on */
  async replug(sampleRate_Hz = this.#rate): Promise<void> {
    this.#pickupsModule = await this.#pactl(
      'load-module',
      'module-null-sink',
      'sink_name=pickups',
      NO_REWINDS,
      `channels=${this.#channels}`,
      `rate=${sampleRate_Hz}`,
      `channel_map=${CHANNEL_MAPS[this.#channels]}`,
      'format=float32le',
    );
  }

  /**
   * Another program that captures from the pickups at the same time.
   * @returns ends it
   */
  async captureBeside(): Promise<() => Promise<void>> {
    const before = await this.#count('source-outputs');
    const other = spawn('parecord', ['--device=pickups.monitor', '--raw', '/dev/null'], {
      env: { ...process.env, ...this.env },
      stdio: 'ignore',
    });
    const ended = once(other, 'exit');
    if (!(await this.#grew('source-outputs', before))) throw new Error('parecord does not record');
    return async () => {
      other.kill('SIGKILL');
      await ended;
    };
  }

  /** Ends the sound server with SIGKILL. */
  async killServer(): Promise<void> {
    const server = this.#server;
    const ended = this.#endedByItself;
    this.#server = null;
    this.#pickupsModule = null;
    if (!server || ended) return;
    server.kill('SIGKILL');
    await once(server, 'exit');
  }

  /**
   * Records what is played to the speakers into a WAV file.
   * @returns a function that ends the recording
   */
  async captureMonitor(file: string): Promise<() => Promise<void>> {
    const before = await this.#count('source-outputs');
    const recorder = spawn(
      'parecord',
      ['--device=speakers.monitor', '--latency-msec=500', '--file-format=wav', '--format=float32le', file],
      { env: { ...process.env, ...this.env }, stdio: 'ignore' },
    );
    const ended = once(recorder, 'exit');
    if (!(await this.#grew('source-outputs', before))) throw new Error('parecord does not record');
    return async () => {
      // What is still in its buffer would be left out.
      await sleep(1500);
      recorder.kill('SIGINT');
      await ended;
    };
  }

  async stop(): Promise<void> {
    for (const player of this.#players) player.kill('SIGKILL');
    await this.killServer();
    await rm(this.dir, { recursive: true, force: true });
  }
}
