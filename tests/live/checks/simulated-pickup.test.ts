import { expect, it } from 'vitest';
import { CalibrationCheck, REFERENCE_HZ } from '../../../electron/live/checks/calibration-check.ts';
import { LeadCheck } from '../../../electron/live/checks/lead-check.ts';
import { NoiseFloorCheck } from '../../../electron/live/checks/noise-floor-check.ts';
import { Channel } from '../../../seeds/road-drive/channel.ts';
import { Random } from '../../../seeds/road-drive/random.ts';
import type { ChannelFault } from '../../../seeds/road-drive/scenario.ts';
import { english } from '../../../shared/messages/tell.ts';
import { RATE, run, setting, tone } from './signals.ts';

/** A pickup with its interface as the simulated road drive has them: their own noise, offset and converter. */
function recorded(
  name: string,
  fullScale_m_s2: number,
  acceleration: Float32Array,
  fault: ChannelFault | null = null,
): Float32Array {
  const channel = new Channel(new Random(name), fullScale_m_s2, RATE, fault);
  const samples = acceleration.slice();
  for (let from = 0; from < samples.length; from += 4096) {
    const block = samples.subarray(from, Math.min(samples.length, from + 4096));
    channel.record(block, block.length);
  }
  return samples;
}

it.each([200, 250, 400, 500])(
  'a simulated pickup of full scale %d m/s² is calibrated within 0.1 dB',
  (fullScale) => {
    const shaker = recorded(`pickup ${fullScale}`, fullScale, tone(6, REFERENCE_HZ, 10));
    const result = run(new CalibrationCheck(setting(['hub-rear-left'], null), 1, 10), [shaker]);
    if (result?.check !== 'calibration' || result.fullScale_m_s2 === null) {
      throw new Error(result ? english(result.text) : 'no result');
    }
    expect(Math.abs(20 * Math.log10(result.fullScale_m_s2 / fullScale))).toBeLessThan(0.1);
  },
);

it('its noise at rest is quiet', () => {
  const rest = recorded('at rest', 200, new Float32Array(6 * RATE));
  const result = run(new NoiseFloorCheck(setting(['hub-rear-left'], 200)), [rest]);
  expect(result).toMatchObject({ check: 'noiseFloor', verdict: 'good' });
});

it.each(['dead', 'loose', 'hum', null] as const)('of four leads the one that is %s is found', (fault) => {
  for (const seed of [1, 2, 3]) {
    const samples = [0, 1, 2, 3].map((c) =>
      recorded(`${seed} ${c}`, 250, new Float32Array(16 * RATE), c === 2 ? fault : null),
    );
    const result = run(new LeadCheck(setting(['a', 'b', 'c', 'd'], 250)), samples);
    if (result?.check !== 'lead') throw new Error('the check did not end');
    const found = result.channels.filter((c) => c.faults.length > 0);
    expect(found.map((c) => c.channel)).toEqual(fault ? [3] : []);
    if (fault) expect(found[0]!.faults).toContain(fault);
  }
});
