import { execFileSync, fork } from 'node:child_process';
import { once } from 'node:events';
import {
  closeSync,
  ftruncateSync,
  openSync,
  readFileSync,
  readSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { WavError } from '../../native/wav/wav-header.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import { repairWav } from '../../native/wav/wav-repair.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';

let dir: string;
let made = 0;
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'wav-'));
});
afterAll(() => rm(dir, { recursive: true, force: true }));
const fresh = () => join(dir, `${++made}.wav`);

const sine = (channels: number, frames: number) =>
  Array.from({ length: channels }, (_, c) =>
    Float32Array.from({ length: frames }, (_, f) => (0.9 / (c + 1)) * Math.sin(0.01 * (c + 1) * f)),
  );

async function writeFile(path: string, planes: Float32Array[], sampleRate_Hz = 48000): Promise<void> {
  const writer = await WavWriter.create(path, { channels: planes.length, sampleRate_Hz });
  writer.write(planes, planes[0]!.length);
  await writer.close();
}

async function readAll(path: string) {
  const wav = await openWav(path);
  const planes = Array.from({ length: wav.format.channels }, () => new Float32Array(wav.frames));
  expect(await wav.read(0, wav.frames, planes)).toBe(wav.frames);
  await wav.close();
  return { ...wav.format, frames: wav.frames, headerIsTrue: wav.headerIsTrue, planes };
}

/** Reads with scipy.io.wavfile, every warning being an error. */
function scipy(path: string) {
  const code = `
import json, sys, warnings
warnings.simplefilter('error')
from scipy.io import wavfile
rate, x = wavfile.read(sys.argv[1])
x = x.reshape(len(x), -1)
print(json.dumps(dict(rate=rate, shape=x.shape, kind=str(x.dtype), last=x[-1].tolist())))`;
  return JSON.parse(execFileSync('/usr/bin/python3', ['-c', code, path], { encoding: 'utf8' }));
}

/** Opens with libsndfile (which PulseAudio brings along) and reads one frame. */
function sndfile(path: string, frame: number) {
  const code = `
import ctypes, json, sys
class Info(ctypes.Structure):
    _fields_ = [('frames', ctypes.c_int64)] + [(n, ctypes.c_int) for n in 'rate channels format sections seekable'.split()]
lib = ctypes.CDLL('libsndfile.so.1')
lib.sf_open.restype = ctypes.c_void_p
lib.sf_seek.restype = lib.sf_readf_float.restype = ctypes.c_int64
info = Info()
f = ctypes.c_void_p(lib.sf_open(sys.argv[1].encode(), 0x10, ctypes.byref(info)))
lib.sf_seek(f, ctypes.c_int64(int(sys.argv[2])), 0)
x = (ctypes.c_float * info.channels)()
read = lib.sf_readf_float(f, x, ctypes.c_int64(1))
print(json.dumps(dict(frames=info.frames, rate=info.rate, channels=info.channels, format=info.format, read=read, samples=list(x))))`;
  return JSON.parse(
    execFileSync('/usr/bin/python3', ['-c', code, path, String(frame)], { encoding: 'utf8' }),
  );
}

describe('against outside readers and writers', () => {
  test('scipy.io.wavfile reads what the writer wrote, bit for bit', async () => {
    const path = fresh();
    const planes = sine(8, 30_001);
    await writeFile(path, planes);
    const read = scipy(path);
    expect(read).toMatchObject({ rate: 48000, shape: [30_001, 8], kind: 'float32' });
    expect(read.last).toEqual(planes.map((p) => p[30_000]));
  });

  test('SoX reads what the writer wrote', async () => {
    const path = fresh();
    const planes = sine(3, 5000);
    await writeFile(path, planes, 44100);
    const soxi = (flag: string) => execFileSync('soxi', [flag, path], { encoding: 'utf8' }).trim();
    expect([soxi('-c'), soxi('-r'), soxi('-s'), soxi('-b'), soxi('-e')]).toEqual([
      '3',
      '44100',
      '5000',
      '32',
      'Floating Point PCM',
    ]);
    const raw = execFileSync('sox', [path, '-t', 'f32', '-']);
    const samples = new Float32Array(raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length));
    // SoX works in 32 bit integers inside.
    for (let f = 0; f < 5000; f += 97)
      for (let c = 0; c < 3; c++) expect(samples[f * 3 + c]).toBeCloseTo(planes[c]![f]!, 7);
  });

  test.each([
    ['16 bit', ['-b', '16', '-e', 'signed'], 'int16', 2 ** -15],
    ['24 bit', ['-b', '24', '-e', 'signed'], 'int24', 2 ** -23],
    ['32 bit', ['-b', '32', '-e', 'signed'], 'int32', 2 ** -24],
    ['float', ['-b', '32', '-e', 'float'], 'float32', 2 ** -24],
  ] as const)('the reader reads what SoX wrote: %s', async (_, form, encoding, step) => {
    const path = fresh();
    // Two channels make the plain format chunk, six the extensible one.
    for (const channels of [2, 6]) {
      const planes = sine(channels, 2000);
      const raw = Buffer.from(
        Float32Array.from(
          { length: 2000 * channels },
          (_, i) => planes[i % channels]![Math.floor(i / channels)]!,
        ).buffer,
      );
      execFileSync('sox', ['-D', '-t', 'f32', '-r', '96000', '-c', String(channels), '-', ...form, path], {
        input: raw,
      });
      const read = await readAll(path);
      expect(read).toMatchObject({
        channels,
        sampleRate_Hz: 96000,
        encoding,
        frames: 2000,
        headerIsTrue: true,
      });
      for (let c = 0; c < channels; c++)
        for (let f = 0; f < 2000; f += 37)
          expect(Math.abs(read.planes[c]![f]! - planes[c]![f]!)).toBeLessThanOrEqual(step * 1.01);
    }
  });

  test('above 4 GiB the file is RF64, and libsndfile finds the sample at its far end', async () => {
    const path = fresh();
    const writer = await WavWriter.create(path, { channels: 8, sampleRate_Hz: 96000 });
    const frames = 2 ** 27 + 5; // 32 bytes each: a little over 4 GiB, nearly all of it a hole
    writer.writeSilence(frames);
    const last = [0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875];
    writer.write(
      last.map((v) => Float32Array.of(v)),
      1,
    );
    await writer.close();
    expect(headOf(path, 16)).toMatch(/^RF64....WAVEds64/s);
    expect(sndfile(path, frames)).toEqual({
      frames: frames + 1,
      rate: 96000,
      channels: 8,
      format: 0x22_0006, // SF_FORMAT_RF64 | SF_FORMAT_FLOAT
      read: 1,
      samples: last,
    });
    const wav = await openWav(path);
    const out = Array.from({ length: 8 }, () => new Float32Array(2));
    expect(wav.headerIsTrue).toBe(true);
    expect(await wav.read(frames, 9, out)).toBe(1);
    expect(out.map((p) => p[0])).toEqual(last);
    await wav.close();
    await rm(path);
  });
});

function headOf(path: string, bytes: number): string {
  const fd = openSync(path, 'r');
  const head = Buffer.alloc(bytes);
  readSync(fd, head, 0, bytes, 0);
  closeSync(fd);
  return head.toString('latin1');
}

describe('an interrupted recording', () => {
  test('a process killed while it writes loses less than a second', async () => {
    const path = fresh();
    const child = fork(join(import.meta.dirname, 'wav-writing-child.ts'), [path], { silent: true });
    let given = 0;
    child.on('message', (frames: number) => {
      given = frames;
    });
    await sleep(2300);
    child.kill('SIGKILL');
    await once(child, 'exit');
    const before = await readAll(path);
    expect(given).toBeGreaterThan(48_000);
    expect(before.frames).toBeGreaterThan(given - 48_000);
    // The child writes the frame's number, so nothing is out of place.
    for (let f = 0; f < before.frames; f += 1009) expect(before.planes[1]![f]).toBe(f);
    const { frames } = await repairWav(path);
    expect(frames).toBe(before.frames);
    expect(scipy(path).shape).toEqual([frames, 2]);
    expect(await repairWav(path)).toEqual({ repaired: false, frames });
  });

  test.each([
    ['0', 0],
    ['-1', 0xffff_ffff],
    ['too long', 0x7000_0000],
    ['too short', 80],
  ])('a data size that is %s is overruled by the length of the file', async (_, size) => {
    const path = fresh();
    await writeFile(path, sine(2, 1000));
    const bytes = readFileSync(path);
    bytes.writeUInt32LE(size, bytes.indexOf('data') + 4);
    writeFileSync(path, bytes);
    expect(await readAll(path)).toMatchObject({ frames: 1000, headerIsTrue: false });
    expect(await repairWav(path)).toEqual({ repaired: true, frames: 1000 });
    expect(scipy(path).shape).toEqual([1000, 2]);
  });

  test('a last frame that is not whole is left out, and cut off by the repair', async () => {
    const path = fresh();
    await writeFile(path, sine(4, 100));
    truncateSync(path, statSync(path).size - 7);
    expect((await readAll(path)).frames).toBe(99);
    expect(await repairWav(path)).toEqual({ repaired: true, frames: 99 });
    expect(scipy(path).shape).toEqual([99, 4]);
  });

  test('chunks after the samples are not taken for sound', async () => {
    const path = fresh();
    await writeFile(path, sine(1, 50));
    const bytes = readFileSync(path);
    const note = Buffer.from('note\x04\0\0\0abcd', 'latin1');
    writeFileSync(path, Buffer.concat([bytes, note]));
    expect((await readAll(path)).frames).toBe(50);
  });
});

describe('the writer', () => {
  test('gives what it got, in uneven blocks and with silence between', async () => {
    const path = fresh();
    const writer = await WavWriter.create(path, { channels: 2, sampleRate_Hz: 1000 });
    const [a, b] = sine(2, 5000) as [Float32Array, Float32Array];
    const expected: number[] = [];
    for (let at = 0, n = 1; at + n < 5000; at += n, n = (n * 7) % 601) {
      if (!writer.write([a.subarray(at), b.subarray(at)], n)) await writer.drain();
      expected.push(...b.subarray(at, at + n));
      writer.writeSilence(3);
      expected.push(0, 0, 0);
    }
    expect(writer.frames).toBe(expected.length);
    await writer.close();
    expect([...(await readAll(path)).planes[1]!]).toEqual(expected);
  });

  test('takes a minute in one call', async () => {
    const path = fresh();
    await writeFile(path, [new Float32Array(60 * 8000).fill(0.5)], 8000);
    expect((await readAll(path)).frames).toBe(60 * 8000);
  });

  test('never overwrites', async () => {
    const path = fresh();
    await writeFile(path, sine(1, 10));
    await expect(WavWriter.create(path, { channels: 1, sampleRate_Hz: 48000 })).rejects.toThrow(
      /exists already/,
    );
  });

  test('a disk that takes nothing for eight seconds ends the recording, not the program', async () => {
    const path = fresh();
    const told: string[] = [];
    const writer = await WavWriter.create(path, {
      channels: 1,
      sampleRate_Hz: 8000,
      onError: (error) => told.push(error.message),
    });
    const probe = await open(path);
    const hung = vi.spyOn(Object.getPrototypeOf(probe), 'write').mockReturnValue(new Promise(() => {}));
    await probe.close();
    try {
      const second = [new Float32Array(8000)];
      for (let s = 0; s < 8; s++) writer.write(second, 8000);
      expect(told).toEqual([]);
      for (let s = 0; s < 3; s++) writer.write(second, 8000);
      expect(told).toEqual([expect.stringMatching(/disk is too slow/)]);
      await writer.drain();
      await expect(writer.close()).rejects.toThrow(WavError);
    } finally {
      hung.mockRestore();
    }
  });

  test('says in plain words that the folder cannot be written to', async () => {
    await expect(
      WavWriter.create('/proc/nothing.wav', { channels: 1, sampleRate_Hz: 48000 }),
    ).rejects.toThrow(WavError);
  });

  test('a full disk is told once, and what was written before stays readable', async () => {
    // A file size limit stops writing in the same place as a full disk; the child runs under one.
    const path = fresh();
    const out = execFileSync(
      'sh',
      ['-c', `ulimit -f 400; exec node ${join(import.meta.dirname, 'wav-limited-child.ts')} ${path}`],
      { encoding: 'utf8' },
    );
    const told = JSON.parse(out);
    expect(told.errors).toHaveLength(1);
    expect(told.errors[0]).toMatch(/could not be written/);
    expect(told.closeRejected).toBe(true);
    const read = await readAll(path);
    expect(read.frames).toBeGreaterThan(0);
    for (let f = 0; f < read.frames; f += 101) expect(read.planes[0]![f]).toBe(f);
  });
});

describe('hostile input', () => {
  /** A small deterministic generator (mulberry32), so that a failure can be repeated. */
  function randomly(seed: number) {
    let a = seed;
    return () => {
      a = (a + 0x6d2b79f5) | 0;
      let t = Math.imul(a ^ (a >>> 15), 1 | a);
      t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
      return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
    };
  }

  test('10,000 mutated files give samples or a WavError, never more than the file holds', async () => {
    const sound = fresh();
    await writeFile(sound, sine(4, 200));
    const rf64 = Buffer.from(readFileSync(sound));
    rf64.write('RF64', 0, 'latin1');
    rf64.write('ds64', 12, 'latin1');
    const seeds = [readFileSync(sound), rf64];
    const random = randomly(20260101);
    const path = fresh();
    let opened = 0;
    let refused = 0;
    for (let i = 0; i < 10_000; i++) {
      const bytes = Buffer.from(seeds[i % 2]!);
      for (let n = 1 + Math.floor(random() * 6); n > 0; n--) {
        const at = Math.floor(random() * (random() < 0.8 ? 120 : bytes.length));
        const kind = random();
        if (kind < 0.5) bytes[at] = Math.floor(random() * 256);
        else if (at + 4 <= bytes.length)
          bytes.writeUInt32LE([0, 1, 0x7fff_ffff, 0xffff_ffff, 0x8000_0000][Math.floor(random() * 5)]!, at);
      }
      const cut = random() < 0.2 ? Math.floor(random() * bytes.length) : bytes.length;
      writeFileSync(path, bytes.subarray(0, cut));
      try {
        const wav = await openWav(path);
        expect(wav.frames * wav.format.channels * 2).toBeLessThanOrEqual(cut);
        const out = Array.from({ length: wav.format.channels }, () => new Float32Array(64));
        await wav.read(Math.max(0, wav.frames - 32), 64, out);
        await wav.close();
        opened++;
      } catch (error) {
        expect(error).toBeInstanceOf(WavError);
        refused++;
      }
    }
    expect(opened).toBeGreaterThan(500);
    expect(refused).toBeGreaterThan(500);
  }, 60_000);

  test('a gigabyte of eight-byte chunks is refused at once', async () => {
    const path = fresh();
    const fd = openSync(path, 'w');
    writeSync(fd, Buffer.from('RIFF\xff\xff\xff\xffWAVE', 'latin1'));
    ftruncateSync(fd, 2 ** 30);
    closeSync(fd);
    const start = performance.now();
    await expect(openWav(path)).rejects.toThrow(/too many parts/);
    expect(performance.now() - start).toBeLessThan(2000);
  });

  test.each([
    ['a folder', '/tmp'],
    ['a device that never ends', '/dev/zero'],
    ['a missing file', '/tmp/there-is-no-such.wav'],
  ])('%s is refused', async (_, path) => {
    await expect(openWav(path)).rejects.toThrow(WavError);
  });

  test('a pipe is refused without waiting for a writer', async () => {
    const path = fresh();
    execFileSync('mkfifo', [path]);
    await expect(openWav(path)).rejects.toThrow(WavError);
  });
});
