import type { Excitation } from './force.ts';
import { Random } from './random.ts';
import type { VisitScenario } from './scenario.ts';
import { Engine, TractionMotor } from './sources/engine.ts';
import { Events } from './sources/events.ts';
import { finalDrive } from './sources/final-drive.ts';
import { Gearbox, TransferCase } from './sources/gearbox.ts';
import { Propshaft } from './sources/propshaft.ts';
import { Road } from './sources/road.ts';
import { Tyre } from './sources/tyre.ts';
import { wheelBearing } from './sources/wheel-bearing.ts';

const CORNERS = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;

/** Everything that makes noise in one run, healthy or not. */
export function excitations(scenario: VisitScenario, runIndex: number, duration_s: number): Excitation[] {
  const { vehicle: model, sampleRate_Hz, fault } = scenario;
  const spread = scenario.physics?.spread ?? 1;
  const vehicle = (part: string) => new Random(scenario.seed, 'part', part).wider(spread);
  const visit = (part: string) => new Random(scenario.visitSeed, 'run', runIndex, part).wider(spread);
  const faultOf = (part: string) => (fault.source === part ? fault : null);

  const parts: Excitation[] = [
    new Road(model, visit('road'), sampleRate_Hz),
    new Events(model, visit('events'), sampleRate_Hz, duration_s),
  ];
  for (const corner of CORNERS) {
    const tyre = `tyre-${corner}`;
    const bearing = `wheel-bearing-${corner}`;
    parts.push(
      new Tyre(corner, vehicle(tyre), visit(tyre), sampleRate_Hz, faultOf(tyre)),
      wheelBearing(corner, model, vehicle(bearing), visit(bearing), sampleRate_Hz, faultOf(bearing)),
    );
  }
  for (const axle of ['front', 'rear'] as const) {
    const pair = model.finalDrive[axle];
    const name = `differential-${axle}`;
    if (pair) {
      parts.push(...finalDrive(axle, pair, model, vehicle(name), visit(name), sampleRate_Hz, faultOf(name)));
    }
  }
  if (model.layout !== 'fwd' && !model.electricDrive) {
    const name = 'propshaft-centre-bearing';
    parts.push(new Propshaft(vehicle(name), visit(name), sampleRate_Hz, faultOf(name)));
  }
  if (model.layout === 'awd' && !model.electricDrive) {
    parts.push(new TransferCase(vehicle('transfer-case'), visit('transfer-case'), sampleRate_Hz));
  }
  parts.push(
    new Gearbox(
      model,
      vehicle('transmission'),
      visit('transmission'),
      sampleRate_Hz,
      faultOf('transmission'),
    ),
    model.electricDrive
      ? new TractionMotor('engine', 'engine', 1, vehicle('engine'), visit('engine'), sampleRate_Hz)
      : new Engine(
          model,
          vehicle('engine'),
          visit('engine'),
          sampleRate_Hz,
          faultOf('engine'),
          scenario.physics?.engine,
        ),
  );
  if (model.layout === 'awd' && model.electricDrive) {
    const name = 'front motor';
    const ratio = model.gearRatios[0]!;
    parts.push(
      new TractionMotor(
        'differential-front',
        'pinion-front',
        ratio,
        vehicle(name),
        visit(name),
        sampleRate_Hz,
      ),
    );
  }
  return parts;
}
