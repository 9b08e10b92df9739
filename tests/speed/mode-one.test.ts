import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { engineSpeed_rpm, parseReply, vehicleSpeed_km_h } from '../../shared/speed/mode-one.ts';

const value = (v: number) => ({ kind: 'value', value: v });

// SAE J1979 (ISO 15031-5), service 01: PID 0C is (256 A + B) / 4 in 1/min, PID 0D is A in km/h.
describe('SAE J1979 service 01', () => {
  it('has the published ends of the scales', () => {
    expect(engineSpeed_rpm(0, 0)).toBe(0);
    expect(engineSpeed_rpm(255, 255)).toBe(16383.75);
    expect(vehicleSpeed_km_h(0)).toBe(0);
    expect(vehicleSpeed_km_h(255)).toBe(255);
  });

  it('reads the answers', () => {
    // 1A F8: (256 · 26 + 248) / 4 = 1726, worked by hand.
    expect(parseReply('41 0C 1A F8', 'engine')).toEqual(value(1726));
    expect(parseReply('41 0D 32', 'road')).toEqual(value(50));
    expect(parseReply('410dFF', 'road')).toEqual(value(255));
  });

  it.each([
    ['echo before it', '010D\r41 0D 32\r\r'],
    ['echo without a line end', '010D41 0D 32\r'],
    ['no spaces', '410D32\r\n'],
    ['progress on its line', 'SEARCHING...41 0D 32'],
    ['progress before it', 'SEARCHING...\r41 0D 32'],
    ['bus named before it', 'BUS INIT: OK\r\n41 0D 32'],
    ['11-bit header', '7E8 03 41 0D 32'],
    ['11-bit header, filled up', '7E8 03 41 0D 32 AA AA AA AA'],
    ['11-bit header, no spaces', '7E803410D3255555555'],
    ['29-bit header', '18 DA F1 10 03 41 0D 32'],
    ['three-byte header and checksum', '48 6B 10 41 0D 32 43'],
    ['key word header and checksum', '83 F1 11 41 0D 32 05'],
  ])('reads an answer with %s', (_, text) => {
    expect(parseReply(text, 'road')).toEqual(value(50));
  });

  it('prefers the lowest identifier of several control units, else the first', () => {
    expect(parseReply('7EA 03 41 0D 00\r7E8 03 41 0D 32\r7E9 03 41 0D 31', 'road')).toEqual(value(50));
    expect(parseReply('41 0D 32\r41 0D 31', 'road')).toEqual(value(50));
  });

  it.each([
    ['no answer of the vehicle', 'NO DATA', 'text'],
    ['bus not found', 'SEARCHING...\rUNABLE TO CONNECT', 'text'],
    ['not understood', '?', 'text'],
    ['another parameter', '41 05 32', 'text'],
    ['another service', '49 0D 32', 'text'],
    ['a byte short', '41 0D', 'text'],
    ['a digit short', '41 0D 3', 'text'],
    ['a byte too many', '41 0D 32 33', 'text'],
    ['a length that does not fit', '7E8 04 41 0D 32', 'text'],
    ['a request from another tester', '7E0 02 01 0D', 'text'],
    ['refused', '7F 01 12', 'refused'],
    ['refused, with header', '7E8 03 7F 01 12', 'refused'],
    ['echo alone', '010D\r', 'nothing'],
    ['empty', '\r\r', 'nothing'],
    ['noise', '4\xb1 0D\x02', 'garbled'],
  ])('gives no value for %s', (_, text, kind) => {
    expect(parseReply(text, 'road').kind).toBe(kind);
  });

  it('never throws, and gives values within the scale only', () => {
    const digits = fc.stringMatching(/^[0-9A-F \r]{0,60}$/);
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), digits), (text) => {
        for (const [quantity, most] of [
          ['road', 255],
          ['engine', 16383.75],
        ] as const) {
          const reply = parseReply(text, quantity);
          if (reply.kind === 'value') expect(reply.value).toBeLessThanOrEqual(most);
        }
      }),
      { numRuns: 1000 },
    );
  });
});
