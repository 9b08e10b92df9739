import { expect, test } from 'vitest';
import { isStepKey, neighbour } from '../../renderer/components/places.ts';
import { rigChannels } from '../../renderer/screens/setup/rig-channels.ts';
import type { RigChannel } from '../../renderer/store/rig.ts';
import { ChannelSchema } from '../../shared/bundle/visit.ts';
import { type KnownPosition, POSITIONS } from '../../shared/driveline/words.ts';
import { PLACES } from '../../shared/vehicle-view/vehicle-view.ts';

const input = (channel: number, change: Partial<RigChannel> = {}): RigChannel => ({
  channel,
  use: 'pickup',
  position: 'transmission',
  fullScale: '500',
  shaft: 'propshaft',
  pulses: '1',
  ...change,
});

test('inputs become channels that the contract accepts', () => {
  const { channels, faults } = rigChannels([
    input(1),
    input(2, { position: '', fullScale: '' }),
    input(3, { use: 'none' }),
    input(4, { use: 'tacho', shaft: 'wheel-rear-left', pulses: '2' }),
    input(5, { fullScale: '98,1' }),
  ]);
  expect(faults).toEqual([]);
  expect(channels).toEqual([
    { channel: 1, role: 'vibration', position: 'transmission', fullScale_m_s2: 500 },
    { channel: 2, role: 'vibration', position: 'unplaced', fullScale_m_s2: null },
    { channel: 4, role: 'tacho', shaft: 'wheel-rear-left', pulsesPerRev: 2 },
    { channel: 5, role: 'vibration', position: 'transmission', fullScale_m_s2: 98.1 },
  ]);
  for (const channel of channels) expect(ChannelSchema.safeParse(channel).success).toBe(true);
});

test.each(['0', '-5', 'fifty', '1e999', 'NaN'])('full scale “%s” is refused at its field', (fullScale) => {
  expect(rigChannels([input(3, { fullScale })]).faults).toEqual([
    { channel: 3, field: 'fullScale', error: 'positive' },
  ]);
});

test('a tacho without pulses is refused', () => {
  expect(rigChannels([input(8, { use: 'tacho', pulses: '' })]).faults).toEqual([
    { channel: 8, field: 'pulses', error: 'positive' },
  ]);
});

test('arrow keys reach every place of the vehicle from every other', () => {
  for (const start of POSITIONS) {
    const seen = new Set<KnownPosition>([start]);
    const open = [start as KnownPosition];
    for (let at = open.pop(); at; at = open.pop()) {
      for (const key of ['ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight'] as const) {
        const next = neighbour(at, key);
        if (!seen.has(next)) {
          seen.add(next);
          open.push(next);
        }
      }
    }
    expect([...seen].sort(), `from ${start}`).toEqual([...POSITIONS].sort());
  }
});

test('an arrow key goes its way: along the axle sideways, along the car up and down', () => {
  expect(neighbour('hub-rear-left', 'ArrowRight')).toBe('differential-rear-left');
  expect(neighbour('differential-rear-left', 'ArrowRight')).toBe('differential-rear-right');
  expect(neighbour('transmission', 'ArrowDown')).toBe('transfer-case');
  expect(neighbour('engine-mount', 'ArrowUp')).toBe('engine-mount');
  expect(isStepKey('Tab')).toBe(false);
  expect(Object.keys(PLACES).sort()).toEqual([...POSITIONS].sort());
});
