import { ShapedNoise } from '../filters.ts';
import { BandNoise, type Excitation, onGrid, REFERENCE_SPEED_M_S } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion } from '../motion.ts';
import { Random } from '../random.ts';
import type { VehicleModel } from '../scenario.ts';

/**
 * The road under four wheels: the profile is partly the same left and right, and the rear wheels meet what the front
 * ones met, wheelbase / speed later. Its acceleration at a hub lies mostly between 20 and 500 Hz and grows with
 * speed and with the roughness of the surface, which changes slowly along the way. Wind shakes the body with the
 * cube of speed.
 */
export class Road implements Excitation {
  readonly nodes: readonly Node[] = [...HUBS, 'body'];
  private readonly wheelbase_m: number;
  private readonly sampleRate_Hz: number;
  private readonly profiles: { common: ShapedNoise; left: ShapedNoise; right: ShapedNoise };
  private readonly own: ShapedNoise[];
  private readonly rms: number;
  private readonly likeness: number;
  private readonly roughness: { waves_m: number[]; phases: number[] };
  private readonly wind: BandNoise;
  /** The last seconds of either track, for the rear wheels. */
  private readonly memory: [Float32Array, Float32Array];
  private written = 0;
  private travelled_m = 0;

  constructor(model: VehicleModel, visit: Random, sampleRate_Hz: number) {
    this.wheelbase_m = model.wheelbase_m;
    this.sampleRate_Hz = sampleRate_Hz;
    const shape = { from_Hz: visit.range(18, 30), to_Hz: visit.logRange(200, 450) };
    const noise = () => new ShapedNoise(new Random(visit.word(), 'road'), sampleRate_Hz, shape);
    this.profiles = { common: noise(), left: noise(), right: noise() };
    this.own = HUBS.map(noise);
    this.rms = 1.4 * visit.spread(3);
    this.likeness = visit.range(0.3, 0.7);
    this.roughness = { waves_m: [97, 41, 230], phases: [0, 0, 0].map(() => visit.range(0, 1)) };
    this.wind = new BandNoise(visit, sampleRate_Hz, [
      { shape: { from_Hz: 150, to_Hz: 3000 }, rms: 0.3 * visit.spread(2) },
    ]);
    const length = 2 ** Math.ceil(Math.log2(MEMORY_S * sampleRate_Hz));
    this.memory = [new Float32Array(length), new Float32Array(length)];
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const { frames, hop, steps } = motion;
    const dt = hop / this.sampleRate_Hz;
    const gain = onGrid(motion, (i) => {
      const rough = this.roughness.waves_m.reduce(
        (sum, wave, k) =>
          sum + 0.12 * Math.sin(2 * Math.PI * (this.travelled_m / wave + this.roughness.phases[k]!)),
        1,
      );
      if (i < steps) this.travelled_m += motion.speed_m_s[i]! * dt;
      return this.rms * rough * (motion.speed_m_s[i]! / REFERENCE_SPEED_M_S) ** 1.2;
    });

    this.remember(this.profiles.common, Math.sqrt(this.likeness), [0, 1], frames);
    this.remember(this.profiles.left, Math.sqrt(1 - this.likeness), [0], frames);
    this.remember(this.profiles.right, Math.sqrt(1 - this.likeness), [1], frames);
    const mask = this.memory[0].length - 1;
    const scale = this.profiles.common.scale;
    HUBS.forEach((hub, wheel) => {
      const out = force.get(hub)!;
      const memory = this.memory[wheel % 2]!;
      const own = this.own[wheel]!.next(frames);
      for (let step = 0; step < steps; step++) {
        const late_s =
          wheel < 2 ? 0 : Math.min(MEMORY_S * 0.9, this.wheelbase_m / Math.max(1, motion.speed_m_s[step]!));
        const late = Math.round(late_s * this.sampleRate_Hz);
        const size = scale * gain[step]!;
        const growth = (scale * gain[step + 1]! - size) / hop;
        for (let k = 0; k < hop; k++) {
          const i = step * hop + k;
          // The wheel's own share: the tracks are not quite the same, and a tyre does not roll the same line twice.
          out[i]! +=
            (size + k * growth) * (0.85 * memory[(this.written + i - late) & mask]! + 0.53 * own[i]!);
        }
      }
    });
    this.written += frames;
    this.wind.addTo(
      force.get('body')!,
      motion,
      onGrid(motion, (i) => (motion.speed_m_s[i]! / REFERENCE_SPEED_M_S) ** 3),
    );
  }

  private remember(noise: ShapedNoise, weight: number, sides: readonly (0 | 1)[], frames: number): void {
    const samples = noise.next(frames);
    for (const side of sides) {
      const memory = this.memory[side];
      const mask = memory.length - 1;
      // The common profile comes first and overwrites what was here a turn of the memory ago.
      const keep = noise === this.profiles.common ? 0 : 1;
      for (let i = 0; i < frames; i++) {
        const at = (this.written + i) & mask;
        memory[at] = keep * memory[at]! + weight * samples[i]!;
      }
    }
  }
}

const MEMORY_S = 2;
const HUBS = ['hub-front-left', 'hub-front-right', 'hub-rear-left', 'hub-rear-right'] as const;
