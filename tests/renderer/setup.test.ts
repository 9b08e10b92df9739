import { expect, test } from 'vitest';
import { isStepKey, neighbour } from '../../renderer/components/places.ts';
import { knownScales, rigChannels, riggingOf } from '../../renderer/screens/setup/rig-channels.ts';
import type { RigChannel } from '../../renderer/store/rig.ts';
import { ChannelSchema } from '../../shared/bundle/visit.ts';
import { type KnownPosition, POSITIONS } from '../../shared/driveline/words.ts';
import { PLACES } from '../../shared/vehicle-view/vehicle-view.ts';
import { defaultSettings, type Settings } from '../../shared/visit-work/settings.ts';

const input = (channel: number, change: Partial<RigChannel> = {}): RigChannel => ({
  channel,
  use: 'pickup',
  position: 'transmission',
  fullScale: '500',
  pickup: '',
  relative: false,
  shaft: 'propshaft',
  pulses: '1',
  ...change,
});

const nothingKnown = () => null;

test('inputs become channels that the contract accepts', () => {
  const { channels, faults } = rigChannels(
    [
      input(1),
      input(2, { position: '', fullScale: '' }),
      input(3, { use: 'none' }),
      input(4, { use: 'tacho', shaft: 'wheel-rear-left', pulses: '2' }),
      input(5, { fullScale: '98,1' }),
    ],
    nothingKnown,
  );
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
  expect(rigChannels([input(3, { fullScale })], nothingKnown).faults).toEqual([
    { channel: 3, field: 'fullScale', error: 'positive' },
  ]);
});

test('a tacho without pulses is refused', () => {
  expect(rigChannels([input(8, { use: 'tacho', pulses: '' })], nothingKnown).faults).toEqual([
    { channel: 8, field: 'pulses', error: 'positive' },
  ]);
});

test('a pickup of the settings brings its full scale; one said to be relative has none', () => {
  const settings: Settings = {
    ...defaultSettings(),
    interfaces: [{ name: 'Field interface 8', fullScale_V: 5 }],
    pickupSets: [
      { name: 'Red case', pickups: [{ name: 'R1', sensitivity_mV_per_m_s2: 10, calibrations: [] }] },
    ],
  };
  const rig = [
    input(1, { pickup: 'R1', fullScale: 'nonsense that does not count' }),
    input(2, { pickup: 'R1', relative: true }),
    input(3, { pickup: 'unheard of' }),
  ];
  const { channels, faults } = rigChannels(rig, knownScales(settings, 'Field interface 8'));
  expect(faults).toEqual([]);
  // 5 V over 10 mV per m/s².
  expect(channels).toMatchObject([
    { channel: 1, fullScale_m_s2: 500, pickup: 'R1' },
    { channel: 2, fullScale_m_s2: null, pickup: 'R1' },
    { channel: 3, fullScale_m_s2: 500, pickup: 'unheard of' },
  ]);
  expect(riggingOf(channels, rig, 'Field interface 8', ['road']).channels).toEqual([
    { channel: 1, position: 'transmission', pickup: 'R1', relative: false },
    { channel: 2, position: 'transmission', pickup: 'R1', relative: true },
    { channel: 3, position: 'transmission', pickup: 'unheard of', relative: false },
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
