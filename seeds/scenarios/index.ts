export { positionsOf } from '../road-drive/hops.ts';
export { otherPhysics } from '../road-drive/other-physics.ts';
export { RoadDrive } from '../road-drive/road-drive.ts';
export type { Fault, RunScenario, VehicleModel, VisitScenario } from '../road-drive/scenario.ts';
export { type SimulatedVisit, simulateVisit, type VisitTruth } from '../road-drive/simulate.ts';
export { demoReturningScenario, demoScenario } from './demo.ts';
export * from './mishaps.ts';
export {
  hasPart,
  type RandomScenarioOptions,
  randomScenario,
  scenarioWithPlacements,
} from './random-scenario.ts';
export { returningScenario } from './returning.ts';
export { writeScenarioBundle, writeVisitBundle } from './write-bundle.ts';
