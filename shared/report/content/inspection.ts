import { hardStops } from '../../diagnosis/inspection.ts';
import type { Inspection } from '../../visit-work/inspection.ts';
import type { ReportWords } from '../words.ts';
import { clipped } from './clipped.ts';

const LONGEST_NOTE = 100;
type Unit = Inspection['units'][number];

/** Findings with which nobody drives on, in the report's language. */
export function stopsContent(inspection: Inspection | null, { tell }: ReportWords): readonly string[] {
  if (!inspection) return [];
  return hardStops(inspection).map((stop) => tell(stop.text));
}

/** What eyes, hands and the drain plug said, a sentence for each wheel and unit that was looked at. */
export function inspectionContent(inspection: Inspection | null, words: ReportWords): readonly string[] {
  const { t, named } = words;
  const wheels = (inspection?.wheels ?? []).flatMap(({ wheel, play, drag, tyreWear, note }) => {
    const found = [
      play && t(`inspection.play.${play}`),
      drag && t(`inspection.drag.${drag}`),
      tyreWear && t(`inspection.tyreWear.${tyreWear}`),
      clipped(note, LONGEST_NOTE),
    ].filter((s) => s);
    return found.length > 0
      ? [t('inspection.wheel', { wheel: t(`wheel.${wheel}`), found: found.join('; ') })]
      : [];
  });
  const units = (inspection?.units ?? []).flatMap((unit) => {
    const found = unitFindings(unit, words);
    return found.length > 0
      ? [t('inspection.unit', { unit: named('unit', unit.unit), found: found.join('; ') })]
      : [];
  });
  const note = clipped(inspection?.note ?? '', 2 * LONGEST_NOTE);
  return [...wheels, ...units, ...(note ? [note] : [])];
}

function unitFindings(unit: Unit, { t, quantity }: ReportWords): string[] {
  const torque = ({ done_Nm, wanted_Nm }: Unit['fillPlug']): string | null => {
    if (done_Nm === null) return null;
    const done = quantity(done_Nm, 'torque');
    return wanted_Nm === null
      ? t('inspection.notLookedUp', { done })
      : t('inspection.wanted', { done, wanted: quantity(wanted_Nm, 'torque') });
  };
  const [fill, drain] = [torque(unit.fillPlug), torque(unit.drainPlug)];
  const { debris, drained_l, refilled_l } = unit;
  return [
    debris && t(`inspection.debris.${debris}`),
    drained_l !== null && t('inspection.drained', { volume: quantity(drained_l, 'volume') }),
    refilled_l !== null && t('inspection.refilled', { volume: quantity(refilled_l, 'volume') }),
    unit.fluid.trim() && t('inspection.fluid', { fluid: clipped(unit.fluid, 80) }),
    fill && t('inspection.fillPlug', { torque: fill }),
    drain && t('inspection.drainPlug', { torque: drain }),
    clipped(unit.note, LONGEST_NOTE),
  ].filter((s) => typeof s === 'string' && s !== '') as string[];
}
