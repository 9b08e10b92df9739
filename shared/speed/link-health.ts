import type { LinkProblem } from './protocol.ts';

/** Receivers speak once a second and buses faster; a technician is told after a few that did not come. */
const PATIENCE_S = 3;

/** Remembers when a link last got how far, and says from that what is wrong with it. */
export class LinkHealth {
  #heard_s = Number.NEGATIVE_INFINITY;
  #understood_s = Number.NEGATIVE_INFINITY;
  #usable_s = Number.NEGATIVE_INFINITY;
  #hindrance: { problem: LinkProblem; at_s: number } | null = null;

  /** All is given the benefit of the doubt until the patience is over. */
  begin(now_s: number): void {
    this.#heard_s = Number.NEGATIVE_INFINITY;
    this.#understood_s = Number.NEGATIVE_INFINITY;
    this.#usable_s = now_s;
    this.#hindrance = null;
  }

  heard(now_s: number): void {
    this.#heard_s = now_s;
  }

  understood(now_s: number): void {
    this.#understood_s = now_s;
  }

  /** A road speed came that could be used. */
  usable(now_s: number): void {
    this.#usable_s = now_s;
  }

  /** Understood, and no speed for this reason. */
  hindered(problem: LinkProblem, now_s: number): void {
    this.#understood_s = now_s;
    this.#hindrance = { problem, at_s: now_s };
  }

  problem(now_s: number): LinkProblem | null {
    const recent = (at_s: number): boolean => now_s - at_s <= PATIENCE_S;
    if (recent(this.#usable_s)) return null;
    if (!recent(this.#heard_s)) return 'silent';
    if (!recent(this.#understood_s)) return 'unreadable';
    return this.#hindrance && recent(this.#hindrance.at_s) ? this.#hindrance.problem : 'noSpeed';
  }
}
