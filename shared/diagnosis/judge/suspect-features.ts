import type { Source } from '../../driveline/words.ts';
import { familyEvidence } from './family-evidence.ts';
import { type Heard, highest, type SuspectFeatures, suspect } from './heard.ts';
import { answerEvidence, levelEvidence, shapeEvidence } from './level-evidence.ts';
import { togetherEvidence } from './together-evidence.ts';
import { toneEvidence } from './tone-evidence.ts';

/** Of a healthy car only what holds for the whole car counts. */
const OF_THE_WHOLE_CAR = /\.(max|peak|all)$/;

/** Everything that tells for or against one source; NaN where it was not measured. */
export function suspectFeatures(source: Source, heard: Heard): SuspectFeatures {
  const who = suspect(source, heard);
  const all: SuspectFeatures = {
    nearest: who.nearest,
    ...familyEvidence(heard, who),
    ...modelEvidence(heard, source),
    ...levelEvidence(heard, who),
    ...shapeEvidence(heard, who),
    ...answerEvidence(heard, who),
    ...toneEvidence(heard, who),
    ...togetherEvidence(heard, who),
  };
  if (source !== 'none') return all;
  return Object.fromEntries(Object.entries(all).filter(([name]) => OF_THE_WHOLE_CAR.test(name)));
}

/** What the model of how noise travels says: for the suspect (`llr`), over its best rival (`con`), for any (`all`). */
function modelEvidence({ likelihoods }: Heard, source: Source): SuspectFeatures {
  const own = likelihoods.get(source) ?? Number.NaN;
  const others = [...likelihoods].flatMap(([s, log]) => (s === source ? [] : [log]));
  return {
    'model.llr': own,
    'model.con': own - highest(others),
    'model.all': highest([...likelihoods.values()]),
  };
}
