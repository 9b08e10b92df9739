import type { DrivePhase, VisitScenario } from '../../seeds/road-drive/scenario.ts';

/** One steady phase at a speed, so that a test knows what it looks at. */
export function steady(
  scenario: VisitScenario,
  placement: string[],
  phase: Partial<DrivePhase> = {},
): VisitScenario {
  const drive: DrivePhase[] = [
    { duration_s: 6, state: 'drive', endSpeed_km_h: 80, torque: 0.5, lateral: 0, gearRatio: 1, ...phase },
  ];
  return { ...scenario, runs: [{ ...scenario.runs[0]!, placement, drive, badChannels: {}, tacho: null }] };
}
