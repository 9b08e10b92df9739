/** A small generator of its own (Park & Miller, Comm. ACM 31, 1988). */
export class Dice {
  #state: number;
  constructor(seed: number) {
    this.#state = ((seed * 2654435761) % 2147483646) + 1;
    for (let i = 0; i < 5; i++) this.uniform();
  }
  uniform(from = 0, to = 1): number {
    this.#state = (this.#state * 48271) % 2147483647;
    return from + ((to - from) * this.#state) / 2147483647;
  }
  normal(): number {
    return Math.sqrt(-2 * Math.log(this.uniform(1e-12))) * Math.cos(2 * Math.PI * this.uniform());
  }
  pick<T>(from: readonly T[]): T {
    return from[Math.min(from.length - 1, Math.floor(this.uniform() * from.length))]!;
  }
}
