import { type Excitation, REFERENCE_SPEED_M_S, Ringing } from '../force.ts';
import type { Node } from '../hops.ts';
import type { Motion } from '../motion.ts';
import type { Random } from '../random.ts';
import type { VehicleModel } from '../scenario.ts';

/**
 * What happens now and then and means nothing: a stone strikes a hub, a wheel falls into a pothole and the rear one
 * after it, a door falls shut while the vehicle stands. Each sets its own resonances ringing.
 */
export class Events implements Excitation {
  readonly nodes: readonly Node[] = [...HUBS, 'body'];
  private readonly events: Event[];
  private readonly wheelbase_m: number;
  private readonly ringing: Map<string, { node: Node; ringing: Ringing }>;

  constructor(model: VehicleModel, visit: Random, sampleRate_Hz: number, duration_s: number) {
    this.wheelbase_m = model.wheelbase_m;
    this.events = [
      { at_s: visit.range(0.6, 1.6), node: 'body', kind: 'door', peak_m_s2: visit.logRange(5, 20) },
    ];
    for (let at_s = interval(visit); at_s < duration_s; at_s += interval(visit)) {
      this.events.push(
        visit.chance(0.6)
          ? { at_s, node: visit.pick(HUBS), kind: 'stone', peak_m_s2: visit.logRange(2, 25) }
          : { at_s, node: visit.pick(FRONT_HUBS), kind: 'pothole', peak_m_s2: visit.logRange(8, 40) },
      );
    }
    this.events.sort(byTime);
    const ring = (low: readonly [number, number], high: readonly [number, number], q: number) =>
      new Ringing(sampleRate_Hz, [
        { frequency_Hz: visit.logRange(...low), q },
        { frequency_Hz: visit.logRange(...high), q: 1.3 * q },
      ]);
    this.ringing = new Map(
      HUBS.flatMap((node) => [
        [key('stone', node), { node, ringing: ring([1200, 3500], [3500, 6500], 8) }],
        [key('pothole', node), { node, ringing: ring([11, 16], [60, 180], 2) }],
      ]),
    );
    this.ringing.set(key('door', 'body'), { node: 'body', ringing: ring([25, 60], [200, 500], 4) });
  }

  addTo(force: ReadonlyMap<Node, Float32Array>, motion: Motion): void {
    const end_s = motion.start_s + motion.frames / motion.sampleRate_Hz;
    const speed_m_s = motion.speed_m_s[0]!;
    const rolling = speed_m_s > SLOWEST_M_S;
    while (this.events.length > 0 && this.events[0]!.at_s < end_s) {
      const event = this.events.shift()!;
      // Doors are shut at standstill; stones and potholes come under way.
      if (rolling === (event.kind === 'door')) continue;
      const hardness = rolling ? speed_m_s / REFERENCE_SPEED_M_S : 1;
      const at = Math.max(0, (event.at_s - motion.start_s) * motion.sampleRate_Hz);
      const { ringing } = this.ringing.get(key(event.kind, event.node))!;
      ringing.strike(at, event.peak_m_s2 * hardness, motion.frames);
      if (event.kind === 'pothole' && event.node.includes('front')) {
        this.events.push({
          ...event,
          at_s: event.at_s + this.wheelbase_m / speed_m_s,
          node: event.node.replace('front', 'rear'),
          peak_m_s2: 0.8 * event.peak_m_s2,
        });
        this.events.sort(byTime);
      }
    }
    for (const { node, ringing } of this.ringing.values()) ringing.addTo(force.get(node)!, motion.frames);
  }
}

interface Event {
  readonly at_s: number;
  readonly node: Node;
  readonly kind: 'stone' | 'pothole' | 'door';
  readonly peak_m_s2: number;
}

const FRONT_HUBS = ['hub-front-left', 'hub-front-right'] as const;
const HUBS = [...FRONT_HUBS, 'hub-rear-left', 'hub-rear-right'] as const;
const SLOWEST_M_S = 3;
const MEAN_INTERVAL_S = 12;
const interval = (visit: Random) => visit.exponential(MEAN_INTERVAL_S);
const byTime = (a: Event, b: Event) => a.at_s - b.at_s;
const key = (kind: Event['kind'], node: Node) => `${kind} ${node}`;
