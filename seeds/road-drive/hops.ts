import { POSITIONS } from '../../shared/driveline/words.ts';
import type { VehicleModel } from './scenario.ts';

/**
 * Which parts of the running gear are joined, and by what. The losses are plausible orders of magnitude, not
 * measurements: some 2.5 dB within a casing, around 10 dB through a half shaft with its joints and bearings, around
 * 13 dB through a rubber bush; they spread by 1 to 3 dB between vehicles.
 */
export type Node = string;

export interface HopKind {
  readonly loss_dB: number;
  readonly spread_dB: number;
  readonly length_m: readonly [number, number];
  readonly waveSpeed_m_s: readonly [number, number];
  /** Above this the hop loses 6 dB per octave more. */
  readonly corner_Hz: readonly [number, number];
  readonly modes: readonly [number, number];
  /** The stiffer and smaller, the higher its modes. */
  readonly modes_Hz: readonly [number, number];
}

export const HOPS = {
  casing: {
    loss_dB: 2.5,
    spread_dB: 1,
    length_m: [0.1, 0.3],
    waveSpeed_m_s: [2500, 4000],
    corner_Hz: [6000, 9000],
    modes: [1, 2],
    modes_Hz: [600, 6000],
  },
  bolted: {
    loss_dB: 5,
    spread_dB: 1.5,
    length_m: [0.3, 0.6],
    waveSpeed_m_s: [2000, 4000],
    corner_Hz: [3000, 6000],
    modes: [2, 3],
    modes_Hz: [250, 5000],
  },
  axleTube: {
    loss_dB: 6,
    spread_dB: 2,
    length_m: [0.5, 0.8],
    waveSpeed_m_s: [1500, 4000],
    corner_Hz: [2000, 5000],
    modes: [2, 4],
    modes_Hz: [120, 5000],
  },
  shaft: {
    loss_dB: 9.5,
    spread_dB: 2.5,
    length_m: [0.5, 1.2],
    waveSpeed_m_s: [1000, 4000],
    corner_Hz: [700, 2000],
    modes: [3, 5],
    modes_Hz: [70, 5000],
  },
  arm: {
    loss_dB: 13,
    spread_dB: 2.5,
    length_m: [0.4, 0.8],
    waveSpeed_m_s: [800, 2500],
    corner_Hz: [250, 700],
    modes: [3, 5],
    modes_Hz: [70, 5000],
  },
  bush: {
    loss_dB: 13,
    spread_dB: 3,
    length_m: [0.1, 0.4],
    waveSpeed_m_s: [300, 1200],
    corner_Hz: [150, 500],
    modes: [2, 4],
    modes_Hz: [70, 5000],
  },
  panel: {
    loss_dB: 15,
    spread_dB: 3,
    length_m: [1, 2.5],
    waveSpeed_m_s: [300, 1000],
    corner_Hz: [200, 600],
    modes: [3, 6],
    modes_Hz: [40, 3000],
  },
} satisfies Record<string, HopKind>;

export type HopName = keyof typeof HOPS;
type Hop = readonly [Node, Node, HopName];

/** Every joint of this vehicle's running gear. */
export function hopsOf(vehicle: VehicleModel): Hop[] {
  const { layout, rigidRearAxle, electricDrive } = vehicle;
  const driveUnit = electricDrive && layout !== 'fwd' ? 'rear' : 'front';
  const hops: Hop[] = [
    ['hub-front-left', 'subframe-front', 'arm'],
    ['hub-front-right', 'subframe-front', 'arm'],
    ['hub-front-left', 'body', 'bush'],
    ['hub-front-right', 'body', 'bush'],
    ['hub-rear-left', 'subframe-rear', 'arm'],
    ['hub-rear-right', 'subframe-rear', 'arm'],
    ['subframe-front', 'body', 'bush'],
    ['subframe-rear', 'body', 'bush'],
    ['engine', 'transmission', 'bolted'],
    ['engine', 'engine-mount', 'casing'],
    ['engine-mount', `subframe-${driveUnit}`, 'bush'],
    ['engine-mount', 'body', 'panel'],
    ['transmission', `subframe-${driveUnit}`, 'bush'],
  ];
  if (layout !== 'rwd') {
    // Transverse engine, longitudinal engine with a transfer case, or an electric unit of its own at this axle.
    if (layout === 'fwd') hops.push(['transmission', 'differential-front', 'casing']);
    else if (!electricDrive) hops.push(['transfer-case', 'differential-front', 'shaft']);
    hops.push(
      ['differential-front', 'differential-front-left', 'casing'],
      ['differential-front', 'differential-front-right', 'casing'],
      ['differential-front-left', 'hub-front-left', 'shaft'],
      ['differential-front-right', 'hub-front-right', 'shaft'],
      ['differential-front', 'subframe-front', 'bush'],
    );
  }
  if (layout !== 'fwd') {
    if (electricDrive) hops.push(['transmission', 'differential-rear-pinion', 'casing']);
    else {
      if (layout === 'awd') hops.push(['transmission', 'transfer-case', 'bolted']);
      hops.push(
        [layout === 'awd' ? 'transfer-case' : 'transmission', 'propshaft-centre-bearing', 'shaft'],
        ['propshaft-centre-bearing', 'body', 'bush'],
        ['propshaft-centre-bearing', 'differential-rear-pinion', 'shaft'],
      );
    }
    hops.push(
      ['differential-rear-pinion', 'differential-rear', 'casing'],
      ['differential-rear', 'differential-rear-left', 'casing'],
      ['differential-rear', 'differential-rear-right', 'casing'],
      ['differential-rear-left', 'hub-rear-left', rigidRearAxle ? 'axleTube' : 'shaft'],
      ['differential-rear-right', 'hub-rear-right', rigidRearAxle ? 'axleTube' : 'shaft'],
      ['differential-rear', 'subframe-rear', rigidRearAxle ? 'panel' : 'bush'],
    );
  } else {
    // A beam joins the wheels of an axle that drives nothing.
    hops.push(['hub-rear-left', 'hub-rear-right', 'panel']);
  }
  return hops;
}

/** Known positions of this vehicle that can hold a pickup. */
export function positionsOf(vehicle: VehicleModel): string[] {
  const nodes = new Set(hopsOf(vehicle).flat());
  return POSITIONS.filter((position) => nodes.has(position));
}
