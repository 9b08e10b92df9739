import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { BusProtocol } from '../../shared/speed/bus-protocol.ts';
import { PlausibleSpeed } from '../../shared/speed/plausible-speed.ts';
import type { SpeedLinkReading } from '../../shared/speed/protocol.ts';
import { SatelliteProtocol } from '../../shared/speed/satellite-protocol.ts';
import { bytesOf, rmc, sentence } from './sentence.ts';

const speeds = (readings: readonly SpeedLinkReading[]) =>
  readings.map((r) => (r.quantity === 'road' ? r.km_h : `${r.rpm} rpm`));

describe('plausible speed', () => {
  it('lets full braking and full throttle through at ten readings a second', () => {
    const check = new PlausibleSpeed();
    // 1 g is 35.3 km/h in a second.
    for (let i = 0; i <= 30; i++) expect(check.take(120 - 3.53 * i, i / 10)).toBe(true);
  });

  it('refuses what no vehicle does', () => {
    const check = new PlausibleSpeed();
    expect(check.take(401, 0)).toBe(false);
    expect(check.take(Number.NaN, 0)).toBe(false);
    expect(check.take(-1, 0)).toBe(false);
    expect(check.take(50, 0)).toBe(true);
    expect(check.take(150, 0.5)).toBe(false);
    expect(check.take(51, 1)).toBe(true);
  });

  it('is not misled for long by a first reading that was wrong', () => {
    const check = new PlausibleSpeed();
    check.take(300, 0);
    const first = Array.from({ length: 20 }, (_, s) => s + 1).find((s) => check.take(50, s));
    expect(first).toBeLessThanOrEqual(5);
  });
});

describe('a satellite receiver', () => {
  let receiver: SatelliteProtocol;
  const at = (now_s: number, text: string) => speeds(receiver.receive(bytesOf(text), now_s));
  beforeEach(() => {
    receiver = new SatelliteProtocol();
    receiver.begin(0);
  });

  it('is read by its RMC; its VTG says the same again', () => {
    expect(at(1, `${rmc('50.0')}\r\n${sentence('GPVTG,,T,,M,050.0,N,092.6,K,A')}\r\n`)).toEqual([50 * 1.852]);
    expect(receiver.step()).toEqual({ readings: [], send: null });
  });

  it('is read by its VTG where no RMC comes, and not while RMC says that there is no fix', () => {
    const vtg = `${sentence('GPVTG,,T,,M,050.0,N,092.6,K')}\r\n`;
    expect(at(1, vtg)).toEqual([92.6]);
    expect(at(2, `${rmc('', 'V', 'N')}\r\n${vtg}`)).toEqual([]);
    expect(at(6, vtg)).toEqual([92.6]);
  });

  it('says in turn what keeps the speed away', () => {
    expect(receiver.problem(2)).toBeNull();
    expect(receiver.problem(4)).toBe('silent');
    at(5, '\x80\x81 noise at another rate');
    expect(receiver.problem(5)).toBe('unreadable');
    at(6, `${rmc('50.0').replace('50', '60')}\r\n`);
    expect(receiver.problem(6)).toBe('unreadable');
    at(7, `${sentence('GPGSV,1,1,00')}\r\n`);
    expect(receiver.problem(7)).toBe('noSpeed');
    at(8, `${rmc('', 'V', 'N')}\r\n`);
    expect(receiver.problem(8)).toBe('noFix');
    at(9, `${rmc('500.0')}\r\n`);
    expect(receiver.problem(9)).toBe('absurd');
    at(10, `${rmc('50.0')}\r\n`);
    expect(receiver.problem(10)).toBeNull();
  });

  it('forgets the half sentence of a link that was made again', () => {
    at(1, rmc('50.0').slice(0, 20));
    receiver.begin(2);
    expect(at(2, `${rmc('50.0').slice(20)}\r\n`)).toEqual([]);
  });
});

/** Talks to the protocol as an adapter would, a step every 50 ms. */
class Conversation {
  readonly bus: BusProtocol;
  readonly sent: string[] = [];
  readonly told: (number | string)[] = [];
  now_s = 0;
  constructor(firstLines?: readonly string[]) {
    this.bus = new BusProtocol(firstLines);
    this.bus.begin(0);
  }
  hear(text: string): void {
    this.told.push(...speeds(this.bus.receive(bytesOf(text), this.now_s)));
  }
  /** @param answer what the adapter says to a line, if anything */
  run(seconds: number, answer: (line: string) => string | null): void {
    for (const end_s = this.now_s + seconds; this.now_s < end_s; this.now_s += 0.05) {
      const { readings, send } = this.bus.step(this.now_s);
      this.told.push(...speeds(readings));
      if (send === null) continue;
      this.sent.push(send);
      const reply = answer(send.trim());
      if (reply !== null) this.hear(reply);
    }
  }
}

const car = (line: string): string =>
  line === '010D' ? '41 0D 32\r\r>' : line === '010C' ? '41 0C 1A F8\r\r>' : 'OK\r\r>';

describe('a bus adapter', () => {
  it('is told the first lines, then asked for road and engine speed in turn', () => {
    const talk = new Conversation();
    talk.run(0.45, car);
    expect(talk.sent.slice(0, 5)).toEqual(['ATE0\r', '010D\r', '010C\r', '010D\r', '010C\r']);
    expect(talk.told.slice(0, 4)).toEqual([50, '1726 rpm', 50, '1726 rpm']);
    expect(talk.bus.problem(talk.now_s)).toBeNull();
  });

  it('needs no first lines', () => {
    const talk = new Conversation([]);
    talk.run(0.2, car);
    expect(talk.sent[0]).toBe('010D\r');
  });

  it('is asked for engine speed only now and then where there is no engine', () => {
    const talk = new Conversation();
    talk.run(20, (line) => (line === '010C' ? 'NO DATA\r\r>' : car(line)));
    const engine = talk.sent.filter((line) => line === '010C\r').length;
    expect(engine).toBeGreaterThan(5);
    expect(engine).toBeLessThan(talk.sent.length / 10);
    expect(talk.bus.problem(talk.now_s)).toBeNull();
  });

  it('is understood without a prompt', () => {
    const talk = new Conversation([]);
    talk.run(3, (line) => car(line).replace('>', ''));
    expect(talk.told.slice(0, 2)).toEqual([50, '1726 rpm']);
    expect(talk.told.length).toBeGreaterThan(6);
  });

  it('is not interrupted while it looks for the bus of the vehicle', () => {
    const talk = new Conversation([]);
    talk.run(0.05, () => 'SEARCHING');
    talk.run(4, () => null);
    expect(talk.sent).toHaveLength(1);
    talk.hear('...\r41 0D 32\r\r>');
    expect(talk.told).toEqual([50]);
  });

  it('finds back when answers come one late', () => {
    const talk = new Conversation([]);
    let late: string | null = null;
    talk.run(6, (line) => {
      const before = late;
      late = car(line);
      return before;
    });
    late = null;
    talk.run(3, car);
    expect(talk.told.slice(-2).toSorted()).toEqual(['1726 rpm', 50].toSorted());
    expect(talk.told.every((told) => told === 50 || told === '1726 rpm')).toBe(true);
    expect(talk.bus.problem(talk.now_s)).toBeNull();
  });

  it('asks again when the adapter was switched off', () => {
    const talk = new Conversation([]);
    talk.run(1, car);
    talk.run(7, () => null);
    expect(talk.bus.problem(talk.now_s)).toBe('silent');
    talk.told.length = 0;
    talk.run(3, car);
    expect(talk.told.length).toBeGreaterThan(10);
    expect(talk.bus.problem(talk.now_s)).toBeNull();
  });

  it('says what keeps the speed away', () => {
    const answers = (reply: string) => {
      const talk = new Conversation([]);
      talk.run(5, () => reply);
      return talk.bus.problem(talk.now_s);
    };
    expect(answers('NO DATA\r\r>')).toBe('noAnswer');
    expect(answers('7F 01 12\r\r>')).toBe('noSpeed');
    expect(answers('\xff\xfe\x81>')).toBe('unreadable');
  });

  it('does not use jumps that no vehicle makes', () => {
    const talk = new Conversation([]);
    let asked = 0;
    talk.run(3, (line) => (line === '010D' && ++asked % 5 === 0 ? '41 0D C8\r>' : car(line)));
    expect(asked).toBeGreaterThan(10);
    expect(talk.told).not.toContain(200);
    expect(talk.told.filter((told) => told === 50).length).toBeGreaterThan(10);
  });
});

describe('whatever arrives', () => {
  const protocols = { satellite: () => new SatelliteProtocol(), bus: () => new BusProtocol() };

  it.each(Object.entries(protocols))('%s never throws, and tells no absurd speed', (_, make) => {
    const chunk = fc.oneof(
      fc.uint8Array({ maxLength: 200 }),
      fc
        .constantFrom('41 0D FF\r>', '410CFFFF\r', '>>>>', '$GPRMC', rmc('999.9'), `${rmc('50.0')}\r\n`)
        .map(bytesOf),
    );
    fc.assert(
      fc.property(
        fc.array(fc.tuple(chunk, fc.double({ min: 0, max: 3, noNaN: true })), { maxLength: 40 }),
        (steps) => {
          const protocol = make();
          let now_s = 0;
          protocol.begin(now_s);
          for (const [bytes, wait_s] of steps) {
            now_s += wait_s;
            const readings = [...protocol.receive(bytes, now_s), ...protocol.step(now_s).readings];
            protocol.problem(now_s);
            for (const reading of readings) {
              if (reading.quantity === 'road') expect(reading.km_h).toBeLessThanOrEqual(400);
              else expect(reading.rpm).toBeLessThanOrEqual(18_000);
            }
          }
        },
      ),
      { numRuns: 500 },
    );
  });

  it.each(Object.entries(protocols))('%s keeps its memory through 50 MB without a line end', (_, make) => {
    const protocol = make();
    protocol.begin(0);
    const flood = new Uint8Array(100_000).fill(0x41);
    const before = process.memoryUsage().heapUsed;
    for (let i = 0; i < 500; i++) {
      protocol.receive(flood, i / 100);
      protocol.step(i / 100);
    }
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(60e6);
  });
});
