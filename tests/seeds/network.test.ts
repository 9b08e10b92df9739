import { expect, it } from 'vitest';
import { Network } from '../../seeds/road-drive/network.ts';
import { randomScenario } from '../../seeds/scenarios/index.ts';
import { mean } from './measure.ts';

const BINS = 257;
const SAMPLE_RATE_HZ = 16_000;

/** Mean level over 200 Hz to 2 kHz passed on from one node to others, in dB, averaged over vehicles. */
function passedOn(source: string, targets: readonly string[], rigidRearAxle = false): number[] {
  const vehicles = Array.from({ length: 30 }, (_, seed) => {
    const { vehicle } = randomScenario(seed, { layout: 'rwd', electricDrive: false, source: 'none' });
    const paths = new Network({ ...vehicle, rigidRearAxle }, seed, SAMPLE_RATE_HZ, BINS).from(
      source,
      targets,
    );
    return targets.map((target) => {
      const transfer = paths.get(target)!;
      const powers: number[] = [];
      for (let bin = 7; bin <= 64; bin++) powers.push(transfer[2 * bin]! ** 2 + transfer[2 * bin + 1]! ** 2);
      return 10 * Math.log10(mean(powers));
    });
  });
  return targets.map((_, i) => mean(vehicles.map((levels) => levels[i]!)));
}

it('loses level hop by hop', () => {
  const [side, hub, far] = passedOn('differential-rear', [
    'differential-rear-left',
    'hub-rear-left',
    'hub-front-left',
  ]);
  expect(side).toBeLessThan(0);
  expect(hub).toBeLessThan(side! - 5);
  expect(far).toBeLessThan(hub! - 15);
});

it('passes more through a rigid axle than through half shafts', () => {
  const [shaft] = passedOn('differential-rear', ['hub-rear-left']);
  const [tube] = passedOn('differential-rear', ['hub-rear-left'], true);
  expect(tube).toBeGreaterThan(shaft! + 2);
});

it('is the same from either end', () => {
  const { vehicle } = randomScenario(1, { layout: 'awd', electricDrive: false, source: 'none' });
  const network = new Network(vehicle, 1, SAMPLE_RATE_HZ, BINS);
  const there = network.from('hub-rear-left', ['differential-rear-left']).get('differential-rear-left')!;
  const back = network.from('differential-rear-left', ['hub-rear-left']).get('hub-rear-left')!;
  const error = there.reduce((worst, x, i) => Math.max(worst, Math.abs(x - back[i]!)), 0);
  expect(error).toBeLessThan(0.02 * Math.max(...there.map(Math.abs)));
});

it('answers after the wave had time to arrive', () => {
  const { vehicle } = randomScenario(2, { layout: 'rwd', electricDrive: false, source: 'none' });
  const network = new Network(vehicle, 2, SAMPLE_RATE_HZ, BINS);
  const delay = (target: string) => {
    const transfer = network.from('differential-rear', [target]).get(target)!;
    // Mean group delay over the band, from the phase that turns between neighbouring bins.
    let [re, im] = [0, 0];
    for (let bin = 8; bin < 128; bin++) {
      const [a, b, c, d] = [
        transfer[2 * bin]!,
        transfer[2 * bin + 1]!,
        transfer[2 * bin + 2]!,
        transfer[2 * bin + 3]!,
      ];
      re += c * a + d * b;
      im += d * a - c * b;
    }
    return (-Math.atan2(im, re) / (2 * Math.PI)) * ((2 * (BINS - 1)) / SAMPLE_RATE_HZ);
  };
  expect(delay('differential-rear-left')).toBeGreaterThan(0);
  expect(delay('hub-rear-left')).toBeGreaterThan(delay('differential-rear-left') + 1e-4);
});
