import type { Garage } from '../../db/open.ts';
import type { CaptureSource } from '../../native/capture/capture-source.ts';
import { PortAudioSource } from '../../native/capture/portaudio-source.ts';
import { ReplaySource } from '../../native/capture/replay-source.ts';
import type { ForkChild } from '../../native/portaudio/child-link.ts';
import { RoadDrive } from '../../seeds/road-drive/road-drive.ts';
import { visitBundle } from '../../seeds/road-drive/simulate.ts';
import { demoToday } from '../../seeds/scenarios/demo.ts';
import type { BundleChannel, SpeedReadings, VehicleSpec } from '../../shared/bundle/visit.ts';
import type { SourceChoice } from '../../shared/contract/live.ts';
import { speedOf } from '../bundles/recorded-speed.ts';
import type { EvidencePlayer } from '../findings/evidence-player.ts';
import type { RecordingsFolder } from '../recording/recordings-folder.ts';
import { stretchToHear } from '../returning/compare-visits.ts';
import { programPath } from '../service/program-path.ts';
import { DemoSource } from './demo-source.ts';
import { openPair } from './open-pair.ts';
import type { OpenedSource } from './opened-source.ts';

export interface SourceSurroundings {
  readonly garage: Garage;
  readonly recordings: RecordingsFolder;
  readonly forkChild: ForkChild;
  readonly portAudioChild: string;
  readonly evidence: EvidencePlayer;
}

/** Makes the source that the technician has chosen, with all that is known of vehicle, pickups and speed. */
export async function openSource(
  around: SourceSurroundings,
  choice: SourceChoice,
  channels: readonly BundleChannel[],
  visitId: number | null,
): Promise<OpenedSource> {
  const vehicle = visitId === null ? null : vehicleOf(around.garage, visitId);
  switch (choice.kind) {
    case 'device':
      return {
        kind: 'device',
        name: choice.name,
        source: new PortAudioSource({
          device: { name: choice.name },
          channels: choice.channels,
          sampleRate_Hz: choice.sampleRate_Hz,
          bits: choice.bits,
          forkChild: around.forkChild,
          childFile: around.portAudioChild,
        }),
        channels: channels.length > 0 ? channels : unplaced(choice.channels),
        vehicle,
        startsAt_s: 0,
        speedAt: null,
      };
    case 'demo':
      return openDemo(vehicle);
    case 'run':
      return await openRun(around, choice.runId, choice.from_s);
    case 'pair':
      return await openBoth(around, choice);
    case 'evidence':
      return await around.evidence.open(choice.visitId);
  }
}

/** Pickups that nobody has said a place for are still seen and heard, by their number. */
const unplaced = (count: number): BundleChannel[] =>
  Array.from({ length: count }, (_, i) => ({
    channel: i + 1,
    role: 'vibration',
    position: `not placed ${i + 1}`,
    fullScale_m_s2: null,
  }));

const vehicleOf = (garage: Garage, visitId: number): VehicleSpec =>
  garage.vehicles.get(garage.visits.get(visitId).vehicleId).spec;

function openDemo(vehicle: VehicleSpec | null): OpenedSource {
  const scenario = demoToday();
  const drive = new RoadDrive(scenario, 0);
  const { run, sampleRate_Hz, channelCount, duration_s } = drive;
  const readings = run.speed ? readingAt(run.speed) : null;
  return {
    kind: 'demo',
    name: 'Built-in demo drive',
    source: new DemoSource(
      { channels: channelCount, sampleRate_Hz, bits: 24 },
      programPath('demo-worker', import.meta.url),
    ),
    channels: run.channels,
    vehicle: vehicle ?? visitBundle(scenario, [drive]).vehicle,
    startsAt_s: 0,
    // The drive begins again at its end.
    speedAt: readings && ((at_s) => readings(at_s % duration_s)),
  };
}

async function openRun(around: SourceSurroundings, runId: number, from_s: number): Promise<OpenedSource> {
  const { garage, recordings } = around;
  const run = garage.runs.get(runId);
  const speed = speedOf(garage, runId);
  const source: CaptureSource = await ReplaySource.open(recordings.file(run.file), {
    pace: 'realTime',
    from_s,
  });
  return {
    kind: 'run',
    name: run.file,
    source,
    channels: run.channels,
    vehicle: vehicleOf(garage, run.visitId),
    startsAt_s: from_s,
    speedAt: speed && readingAt(speed),
  };
}

/** Channel 1 is the earlier run, channel 2 the later one. */
async function openBoth(
  { garage, recordings }: SourceSurroundings,
  { earlier, later, ...ground }: Extract<SourceChoice, { kind: 'pair' }>,
): Promise<OpenedSource> {
  const stretches = [earlier, later].map((side) => stretchToHear(garage, recordings, side, ground));
  return {
    kind: 'run',
    name: 'Both visits in turn',
    source: await openPair(stretches[0]!, stretches[1]!),
    channels: stretches.map(({ position, fullScale_m_s2 }, i) => ({
      channel: i + 1,
      role: 'vibration',
      position,
      fullScale_m_s2,
    })),
    vehicle: vehicleOf(garage, garage.runs.get(later.runId).visitId),
    startsAt_s: 0,
    speedAt: null,
  };
}

/** The latest reading at a time, as a link would have delivered it. */
function readingAt({ t_s, v_km_h }: SpeedReadings): (at_s: number) => number | null {
  return (at_s) => {
    let low = 0;
    let high = t_s.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (t_s[middle]! <= at_s) low = middle + 1;
      else high = middle;
    }
    return low === 0 ? null : v_km_h[low - 1]!;
  };
}
