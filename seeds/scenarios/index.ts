export { RoadDrive } from '../road-drive/road-drive.ts';
export type { VisitScenario } from '../road-drive/scenario.ts';
export { type SimulatedVisit, simulateVisit, type VisitTruth } from '../road-drive/simulate.ts';
export { demoReturningScenario, demoScenario } from './demo.ts';
export {
  hasPart,
  type RandomScenarioOptions,
  randomScenario,
  scenarioWithPlacements,
} from './random-scenario.ts';
export { writeScenarioBundle, writeVisitBundle } from './write-bundle.ts';
