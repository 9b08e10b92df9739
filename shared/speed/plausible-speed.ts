/** No road vehicle that comes to a workshop is faster; the same bound as for a speed set by hand. */
export const HIGHEST_KM_H = 400;
/** Above every piston engine on the road, motorcycles included (common practice). */
export const HIGHEST_RPM = 18_000;
/** 15 m/s²: half as much again as full braking on a dry road with road tyres, about 1 g (common practice). */
const LARGEST_CHANGE_KM_H_PER_S = 54;
/** Steps of a whole km/h, and readings that arrive a little closer together than they were taken. */
const SLACK_KM_H = 5;

/**
 * Lets through the speeds that the vehicle can have had after the last one that was let through. A wrong first reading
 * cannot shut the right ones out for long: what a vehicle can reach grows with the time that has passed.
 */
export class PlausibleSpeed {
  #last: { km_h: number; at_s: number } | null = null;

  /** @returns whether the reading is to be used */
  take(km_h: number, at_s: number): boolean {
    if (!(km_h >= 0 && km_h <= HIGHEST_KM_H)) return false;
    const last = this.#last;
    if (last) {
      const reach = SLACK_KM_H + LARGEST_CHANGE_KM_H_PER_S * Math.max(0, at_s - last.at_s);
      if (Math.abs(km_h - last.km_h) > reach) return false;
    }
    this.#last = { km_h, at_s };
    return true;
  }

  forget(): void {
    this.#last = null;
  }
}
