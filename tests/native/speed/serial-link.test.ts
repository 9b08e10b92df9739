import { writeFile } from 'node:fs/promises';
import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SerialLink } from '../../../native/speed/serial-link.ts';
import { listSerialPorts, openSerialPort } from '../../../native/speed/serial-port.ts';
import { SpeedLinkError } from '../../../native/speed/speed-link-error.ts';
import { BusProtocol } from '../../../shared/speed/bus-protocol.ts';
import type { LinkProblem, SpeedLinkReading, SpeedProtocol } from '../../../shared/speed/protocol.ts';
import { SatelliteProtocol } from '../../../shared/speed/satellite-protocol.ts';
import { rmc } from '../../speed/sentence.ts';
import { PseudoTerminal } from './pseudo-terminal.ts';

/** Streams over real pseudo-terminals: good, corrupted, interrupted, absurd. */

let terminal: PseudoTerminal;
let link: SerialLink | null;
let readings: SpeedLinkReading[];
let problems: (LinkProblem | null)[];

beforeEach(async () => {
  terminal = await PseudoTerminal.make();
  link = null;
  readings = [];
  problems = [];
});
afterEach(async () => {
  await link?.close();
  await terminal.remove();
});

async function open(protocol: SpeedProtocol): Promise<void> {
  link = await SerialLink.open({
    path: terminal.path,
    baudRate: 4800,
    protocol,
    onReading: (reading) => readings.push(reading),
    onProblem: (problem) => problems.push(problem),
  });
}

const until = (condition: () => boolean) =>
  expect.poll(condition, { timeout: 8000, interval: 10 }).toBe(true);
const road = () => readings.flatMap((r) => (r.quantity === 'road' ? [r.km_h] : []));
const engine = () => readings.flatMap((r) => (r.quantity === 'engine' ? [r.rpm] : []));

/** A vehicle that drives 50 km/h at 1726 rpm, behind an adapter with echo and prompt. */
function adapterAnswers(change: (reply: string, nth: number) => string = (reply) => reply): void {
  let nth = 0;
  terminal.onLine((line) => {
    const answer = { '010D': '41 0D 32', '010C': '41 0C 1A F8' }[line] ?? 'OK';
    void terminal.say(change(`${line}\r${answer}\r\r>`, nth++));
  });
}

describe('a satellite receiver on a port', () => {
  it('is read, every sentence once, with the time at which it came', async () => {
    await open(new SatelliteProtocol());
    const began_s = performance.now() / 1000;
    for (let i = 0; i < 10; i++) {
      await terminal.say(`${rmc((50 + i / 10).toFixed(1), 'A', 'A', 'GN')}\r\n`);
      await wait(50);
    }
    await until(() => readings.length === 10);
    for (const [i, km_h] of road().entries()) expect(km_h).toBeCloseTo((50 + i / 10) * 1.852, 9);
    for (const [i, { at_s }] of readings.entries()) {
      expect(at_s).toBeGreaterThanOrEqual(i === 0 ? began_s : readings[i - 1]!.at_s);
      expect(at_s).toBeLessThanOrEqual(performance.now() / 1000);
    }
    expect(readings[9]!.at_s - readings[0]!.at_s).toBeGreaterThan(0.4);
    expect(problems.filter((p) => p !== null)).toEqual([]);
  });

  it('gives its good sentences out of a corrupted stream, and no other speed', async () => {
    await open(new SatelliteProtocol());
    const good = `${rmc('50.0')}\r\n`;
    const damaged = [
      good.replace('50.0', '59.0'),
      good.slice(0, 25),
      `${good.slice(0, 30)}\x00\xff\x80${good.slice(30)}`,
      good.replace('*', ''),
      `$${'9'.repeat(300)}`,
      '\xfe\xff\x00\x01garbage\n',
    ];
    for (const piece of damaged) await terminal.say(piece + good);
    await until(() => readings.length >= damaged.length);
    await wait(100);
    expect(road()).toEqual(damaged.map(() => 50 * 1.852));
  });

  it('is joined again by itself when it was pulled out, three times over', async () => {
    await open(new SatelliteProtocol());
    for (let i = 1; i <= 3; i++) {
      await terminal.say(`${rmc('50.0')}\r\n${rmc('77.0').slice(0, 20)}`);
      await until(() => readings.length === i);
      await terminal.pullOut();
      await until(() => link!.problem === 'lost');
      await terminal.plugIn();
      await until(() => link!.problem === null);
    }
    expect(problems).toEqual(['lost', null, 'lost', null, 'lost', null]);
  });

  it('is not believed in absurd speeds', async () => {
    await open(new SatelliteProtocol());
    await terminal.say(`${rmc('50.0')}\r\n${rmc('300.0')}\r\n${rmc('120.0')}\r\n${rmc('51.0')}\r\n`);
    await until(() => readings.length === 2);
    for (let i = 0; i < 16; i++) {
      await terminal.say(`${rmc('300.0')}\r\n`);
      await wait(200);
    }
    expect(link!.problem).toBe('absurd');
    expect(road()).toEqual([50 * 1.852, 51 * 1.852]);
  });
});

describe('a flood', () => {
  it('is held back, leaves the program its time, and is over when it is over', async () => {
    await open(new SatelliteProtocol());
    const before = process.memoryUsage();
    const junk = new Uint8Array(64_000).fill(0x24);
    let flooding = true;
    const flood = (async () => {
      while (flooding) await Promise.race([terminal.say(junk), wait(20)]);
    })();
    await until(() => link!.problem === 'flood');
    const began = process.cpuUsage();
    await wait(1000);
    const { user, system } = process.cpuUsage(began);
    flooding = false;
    await flood;
    // Of a second, the share of one core, with the test's own writing: counted in work, not in waiting for other programs.
    expect((user + system) / 1e6).toBeLessThan(0.2);
    const grown = process.memoryUsage().rss - before.rss;
    expect(grown).toBeLessThan(150e6);
    await terminal.pullOut();
    await until(() => link!.problem === 'lost');
    await terminal.plugIn();
    await until(() => link!.problem === null);
    await terminal.say(`${rmc('50.0')}\r\n`);
    await until(() => readings.length === 1);
  });
});

describe('a bus adapter on a port', () => {
  it('is asked and read', async () => {
    adapterAnswers();
    await open(new BusProtocol());
    await until(() => road().length >= 5 && engine().length >= 5);
    expect(new Set(road())).toEqual(new Set([50]));
    expect(new Set(engine())).toEqual(new Set([1726]));
  });

  it('is read through noise, cut and doubled answers', async () => {
    adapterAnswers((reply, nth) => {
      switch (nth % 5) {
        case 1:
          return `\x00\xff${reply}`;
        case 2:
          return `${reply.slice(0, 9)}\r>`;
        case 3:
          return reply + reply;
        case 4:
          return 'SEARCHING...\rNO DATA\r\r>';
        default:
          return reply;
      }
    });
    await open(new BusProtocol());
    await until(() => road().length >= 5 && engine().length >= 3);
    expect(new Set(road())).toEqual(new Set([50]));
    expect(new Set(engine())).toEqual(new Set([1726]));
  });

  it('is joined again, and told its first lines again', async () => {
    const lines: string[] = [];
    adapterAnswers();
    await open(new BusProtocol(['FIRST']));
    await until(() => road().length >= 2);
    await terminal.pullOut();
    await until(() => link!.problem === 'lost');
    await wait(100);
    const before = road().length;
    terminal.onLine((line) => {
      lines.push(line);
      void terminal.say(line === '010D' ? '41 0D 33\r>' : '>');
    });
    await terminal.plugIn();
    await until(() => road().length > before);
    expect(lines[0]).toBe('FIRST');
    expect(road().at(-1)).toBe(51);
  });

  it('says that the vehicle does not answer, and that nothing answers', async () => {
    terminal.onLine(() => void terminal.say('NO DATA\r\r>'));
    await open(new BusProtocol());
    await until(() => link!.problem === 'noAnswer');
    terminal.onLine(() => {});
    await until(() => link!.problem === 'silent');
    expect(readings).toEqual([]);
  });
});

describe('ports', () => {
  const refusal = (path: string) =>
    openSerialPort(path, 9600, { onBytes: () => {}, onGone: () => {} }).then(
      () => null,
      (error: unknown) => error,
    );

  it('refuses in one sentence what is not there or no serial port', async () => {
    const file = `${terminal.path}-file`;
    await writeFile(file, 'a file');
    for (const [path, words] of [
      ['/dev/rumblepath-none', 'is not there'],
      [file, 'could not be opened as a serial port'],
      ['/dev/null', 'could not be opened as a serial port'],
    ] as const) {
      const error = await refusal(path);
      expect(error).toBeInstanceOf(SpeedLinkError);
      expect((error as Error).message).toContain(words);
    }
  });

  it('lists what there is, each with a path', async () => {
    for (const port of await listSerialPorts()) expect(port.path).toMatch(/^(\/dev\/|COM)/);
  });

  it('is silent after it was closed', async () => {
    await open(new SatelliteProtocol());
    await terminal.say(`${rmc('50.0')}\r\n`);
    await until(() => readings.length === 1);
    await link!.close();
    await link!.close();
    await terminal.say(`${rmc('51.0')}\r\n`);
    await terminal.pullOut();
    await wait(200);
    expect(readings).toHaveLength(1);
    expect(problems.filter((p) => p !== null)).toEqual([]);
  });
});
