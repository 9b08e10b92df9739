import type { Motion, Shaft } from './motion.ts';
import type { Random } from './random.ts';
import type { TachoModel, VehicleModel } from './scenario.ts';

/**
 * A tacho channel: one square pulse per mark of the shaft, high for a third of the way. Real marks are not evenly
 * spaced (jitter), a pulse is missed when a mark is dirty, and a reflection makes two of one.
 */
export class Tacho {
  private readonly model: TachoModel;
  private readonly shaft: Shaft;
  private readonly random: Random;
  private readonly offset: number;
  private current: Pulse;
  private index: number;

  constructor(model: TachoModel, vehicle: VehicleModel, random: Random) {
    this.model = model;
    this.shaft =
      model.shaft !== 'propshaft' ? model.shaft : vehicle.layout === 'fwd' ? 'gearbox-output' : 'pinion-rear';
    this.random = random;
    this.offset = random.range(0, 1);
    this.index = Math.floor(this.offset);
    this.current = this.draw();
  }

  render(out: Float32Array, motion: Motion): void {
    const { hop, steps } = motion;
    const turns = motion.turns(this.shaft);
    for (let step = 0; step < steps; step++) {
      const from = turns[step]! * this.model.pulsesPerRev + this.offset;
      const advance = (turns[step + 1]! - turns[step]!) * this.model.pulsesPerRev;
      for (let k = 0; k < hop; k++) {
        const place = from + (advance * k) / hop;
        while (place >= this.index + 1) {
          this.index++;
          this.current = this.draw();
        }
        const within = place - this.index - this.current.late;
        // A doubled pulse drops out for a moment in its middle.
        const high =
          within > 0.2 && within < 0.53 && !(this.current.doubled && within > 0.33 && within < 0.4);
        out[step * hop + k] = (high && !this.current.missing ? 0.6 : 0) + 0.005 * this.random.normal();
      }
    }
  }

  private draw(): Pulse {
    return {
      late: this.random.normal(0, this.model.jitter),
      missing: this.random.chance(this.model.missing),
      doubled: this.random.chance(this.model.doubled),
    };
  }
}

interface Pulse {
  late: number;
  missing: boolean;
  doubled: boolean;
}
