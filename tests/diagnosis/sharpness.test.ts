import { expect, it } from 'vitest';
import { type HeldOut, sharpnessOf } from '../../build/judge/sharpness.ts';
import { Random } from '../../seeds/road-drive/random.ts';

/** Visits of eight suspects whose guilty one is drawn with the odds that the sums tell, raised to a power. */
function drawn(power: number): HeldOut[] {
  const random = new Random(`sharpness ${power}`);
  return Array.from({ length: 20_000 }, () => {
    const sums = Array.from({ length: 8 }, () => 2 * random.normal());
    const weights = sums.map((sum) => Math.exp(power * sum));
    let left = random.range(
      0,
      weights.reduce((a, b) => a + b, 0),
    );
    const guilty = weights.findIndex((weight) => (left -= weight) < 0);
    return { sums, guilty };
  });
}

// Nothing from outside is needed: the truth is drawn with a known power.
it.each([0.7, 1, 1.4])('finds the power %s with which the guilty were drawn', (power) => {
  expect(sharpnessOf(drawn(power))).toBeCloseTo(power, 1);
});

it('asks for visits', () => {
  expect(() => sharpnessOf([])).toThrow(RangeError);
});
