import { expect, it } from 'vitest';
import { ShapedNoise } from '../../seeds/road-drive/filters.ts';
import { Random } from '../../seeds/road-drive/random.ts';
import { rms } from './measure.ts';

it('draws normal noise: mean 0, variance 1, kurtosis 3, neighbours unrelated', () => {
  const noise = new Float32Array(200_000);
  new Random('moments').fillNormal(noise, noise.length);
  const moment = (power: number) => noise.reduce((sum, x) => sum + x ** power, 0) / noise.length;
  expect(Math.abs(moment(1))).toBeLessThan(0.01);
  expect(Math.abs(moment(2) - 1)).toBeLessThan(0.015);
  expect(Math.abs(moment(4) - 3)).toBeLessThan(0.1);
  let neighbours = 0;
  for (let i = 1; i < noise.length; i++) neighbours += noise[i]! * noise[i - 1]!;
  expect(Math.abs(neighbours / noise.length)).toBeLessThan(0.01);
});

it('keeps streams apart and repeatable', () => {
  const draw = (...stream: (string | number)[]) => {
    const random = new Random(...stream);
    return Array.from({ length: 4 }, () => random.word());
  };
  expect(draw(1, 'road')).toEqual(draw(1, 'road'));
  expect(draw(1, 'road')).not.toEqual(draw(2, 'road'));
  expect(draw(1, 'road')).not.toEqual(draw(1, 'wind'));
});

it('draws whole numbers and shuffles over their whole range', () => {
  const random = new Random('range');
  const seen = new Set(Array.from({ length: 500 }, () => random.integer(3, 7)));
  expect([...seen].sort()).toEqual([3, 4, 5, 6, 7]);
  expect(random.shuffle([1, 2, 3, 4, 5]).sort()).toEqual([1, 2, 3, 4, 5]);
});

it('states the level of a noise for any sample rate that holds its band', () => {
  for (const sampleRate_Hz of [16_000, 44_100, 48_000, 96_000]) {
    const noise = new ShapedNoise(new Random('level'), sampleRate_Hz, { from_Hz: 200, to_Hz: 1500 });
    const samples = noise.next(sampleRate_Hz * 4).slice(0, sampleRate_Hz * 4);
    expect(Math.abs(20 * Math.log10(rms(samples) * noise.scale))).toBeLessThan(0.5);
  }
});
