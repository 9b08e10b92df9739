import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { KM_H_PER_KNOT, nmeaChecksum, parseSentence, SentenceSplitter } from '../../shared/speed/nmea.ts';
import { bytesOf, rmc, sentence } from './sentence.ts';

/** The specimen fix of 23 March 1994 that descriptions of NMEA 0183 print everywhere. */
const GGA = '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47';
const RMC = '$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A';
const VTG = '$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48';

const kmh = (text: string): number | null => {
  const parsed = parseSentence(text);
  return parsed.kind === 'speed' ? parsed.km_h : null;
};

describe('NMEA 0183', () => {
  it('has the checksums of the published specimens', () => {
    for (const specimen of [GGA, RMC, VTG]) {
      const [between, sum] = specimen.slice(1).split('*') as [string, string];
      expect(nmeaChecksum(between)).toBe(Number.parseInt(sum, 16));
    }
  });

  // The international nautical mile is 1852 m (First International Extraordinary Hydrographic Conference, Monaco 1929).
  it('takes a knot as 1.852 km/h', () => {
    expect(KM_H_PER_KNOT).toBe(1.852);
    expect(kmh(RMC)).toBeCloseTo(22.4 * 1.852, 12);
  });

  it('reads VTG in km/h, and in knots where km/h are left out', () => {
    expect(kmh(VTG)).toBe(10.2);
    expect(kmh(sentence('GPVTG,054.7,T,034.4,M,005.5,N,,K'))).toBeCloseTo(5.5 * 1.852, 12);
    expect(kmh(sentence('GPVTG,,T,,M,,N,010.2,K,A'))).toBe(10.2);
  });

  it('knows other sentences by their checksum only', () => {
    expect(parseSentence(GGA)).toEqual({ kind: 'other' });
    expect(parseSentence(GGA.replace('545.4', '545.5'))).toEqual({ kind: 'damaged', reason: 'checksum' });
  });

  it('does not mind the talker, nor the case of the checksum', () => {
    for (const talker of ['GP', 'GN', 'GL', 'GA', 'GB', 'BD', 'II'])
      expect(kmh(rmc('50.0', 'A', 'A', talker))).toBeCloseTo(92.6, 12);
    expect(kmh(RMC.replace('*6A', '*6a'))).toBeCloseTo(41.4848, 12);
    // A proprietary sentence whose name only ends alike.
    expect(parseSentence(sentence('PXRMC,1,A,,,,,50.0'))).not.toMatchObject({ kind: 'damaged' });
  });

  it('uses no speed that the receiver itself does not trust', () => {
    // Status V; mode indicators of version 2.3: N not valid, E dead reckoning, M by hand, S simulator.
    for (const refused of [rmc('50.0', 'V'), ...['N', 'E', 'M', 'S', ''].map((m) => rmc('50.0', 'A', m))])
      expect(parseSentence(refused)).toEqual({ kind: 'noFix', type: 'RMC' });
    for (const mode of ['A', 'D', 'F', 'R', 'P', null]) expect(kmh(rmc('50.0', 'A', mode))).not.toBeNull();
    expect(parseSentence(sentence('GPVTG,054.7,T,034.4,M,005.5,N,010.2,K,N'))).toMatchObject({
      kind: 'noFix',
    });
  });

  it('takes empty fields as no fix', () => {
    expect(parseSentence(rmc(''))).toEqual({ kind: 'noFix', type: 'RMC' });
    expect(parseSentence(sentence('GPRMC,,V,,,,,,,,,,N'))).toEqual({ kind: 'noFix', type: 'RMC' });
    expect(parseSentence(sentence('GNVTG,,T,,M,,N,,K,N'))).toEqual({ kind: 'noFix', type: 'VTG' });
    expect(parseSentence(sentence('GNVTG,,,,,,,,'))).toEqual({ kind: 'noFix', type: 'VTG' });
  });

  it('refuses what is sound by its checksum and wrong by its fields', () => {
    for (const between of [
      'GPRMC,081530,A,4500.000,N,00900.000,E,-5.0,090.0,010124,,',
      'GPRMC,081530,A,4500.000,N,00900.000,E,1e2,090.0,010124,,',
      'GPVTG,054.7,T,034.4,M,005.5,K,010.2,N',
      'GPVTG,054.7,T,034.4,M,005.5,N,110.2,K',
    ])
      expect(parseSentence(sentence(between))).toEqual({ kind: 'damaged', reason: 'field' });
  });

  it('refuses a sentence without a checksum, or with more behind it', () => {
    for (const text of [RMC.split('*')[0]!, `${RMC}0`, RMC.slice(0, -1), `${RMC} `])
      expect(parseSentence(text)).toEqual({ kind: 'damaged', reason: 'checksum' });
  });

  // 82 characters from $ to LF, so 80 without CR LF.
  it('holds the limit of 82 characters', () => {
    const filled = (length: number) => sentence(`GPTXT,${'x'.repeat(length - '$GPTXT,*hh'.length)}`);
    expect(filled(80)).toHaveLength(80);
    expect(parseSentence(filled(80))).toEqual({ kind: 'other' });
    expect(parseSentence(filled(81))).toEqual({ kind: 'damaged', reason: 'length' });
  });

  it('notices any one changed character', () => {
    fc.assert(
      fc.property(fc.nat(RMC.length - 4), fc.integer({ min: 0, max: 255 }), (at, byte) => {
        const changed = RMC.slice(0, at) + String.fromCharCode(byte) + RMC.slice(at + 1);
        fc.pre(changed !== RMC);
        expect(parseSentence(changed).kind).toBe('damaged');
      }),
    );
  });

  it('never throws, and finds no speed in noise', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 120 }), (noise) => {
        expect(parseSentence(noise).kind).not.toBe('speed');
        expect(parseSentence(`$${noise}`).kind).not.toBe('speed');
      }),
      { numRuns: 500 },
    );
  });
});

describe('finding sentences in a stream', () => {
  const found = (chunks: Uint8Array[]): (number | null)[] => {
    const splitter = new SentenceSplitter();
    return chunks.flatMap((chunk) => splitter.push(chunk)).map(kmh);
  };

  it('finds the same however the stream is cut', () => {
    const stream = bytesOf(`${GGA}\r\n${RMC}\r\n${VTG}\r\n${rmc('50.0')}\n${rmc('51.0')}\r`);
    fc.assert(
      fc.property(fc.array(fc.nat(stream.length), { maxLength: 30 }), (cuts) => {
        const edges = [0, ...cuts.toSorted((a, b) => a - b), stream.length];
        const chunks = edges.slice(1).map((end, i) => stream.subarray(edges[i]!, end));
        expect(found(chunks)).toEqual([null, 22.4 * 1.852, 10.2, 50 * 1.852, 51 * 1.852]);
      }),
    );
  });

  it('loses one sentence to a lost line end, and none to noise before it', () => {
    expect(found([bytesOf(`${RMC.slice(0, 30)}${VTG}\r\n`)])).toEqual([null, 10.2]);
    expect(found([bytesOf(`\xff\x00 noise ${'z'.repeat(500)}${VTG}\r\n`)])).toEqual([10.2]);
  });

  it('keeps no more than a sentence of a line that does not end', () => {
    const splitter = new SentenceSplitter();
    const before = process.memoryUsage().heapUsed;
    let cut = 0;
    splitter.push(bytesOf('$'));
    for (let i = 0; i < 500; i++) cut += splitter.push(new Uint8Array(20_000).fill(0x41)).join('').length;
    expect(cut).toBe(81);
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(50e6);
  });
});
