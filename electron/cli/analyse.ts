import type { Command } from 'commander';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { english, nameIn } from '../../shared/messages/tell.ts';
import { loadBundle } from '../analysis/load-bundle.ts';
import { print } from './print.ts';

export function registerAnalyse(program: Command): void {
  program
    .command('analyse')
    .description('name the source of the noise in a visit bundle, or say where to clamp next')
    .argument('<bundle>', 'folder with visit.json')
    .option('--json', 'one JSON object on standard output')
    .action(async (folder: string, { json }: { json?: true }) => {
      const { visit, provider } = await loadBundle(folder);
      let doing = '';
      const findings = await analyseVisit(visit, provider, {
        onProgress: (_, now) => {
          if (now !== doing) print.log((doing = now));
        },
      });
      showFindings(findings, json === true);
    });
}

export function showFindings(findings: Findings, json: boolean): void {
  for (const notice of findings.notices) print.log(english(notice));
  if (json) print.json(inEnglish(findings));
  else printFindings(findings);
}

/** The findings as they are printed: sentences instead of messages, and without the spectra that nobody reads here. */
export function inEnglish({ spectra: _, ...findings }: Findings) {
  return {
    ...findings,
    sources: findings.sources.map(({ evidence, ...source }) => ({
      ...source,
      evidence: evidence.map(({ text, ...measured }) => ({ ...measured, text: english(text) })),
    })),
    nextPlacement: findings.nextPlacement.map(({ why, ...place }) => ({ ...place, why: english(why) })),
    summary: english(findings.summary),
    notices: findings.notices.map(english),
  };
}

function printFindings(findings: Findings): void {
  print.line(english(findings.summary));
  for (const { source, probability, evidence } of findings.sources.filter((s) => s.probability >= 0.01)) {
    print.line(`${(100 * probability).toFixed(0).padStart(3)} %  ${nameIn('en', 'part', source)}`);
    for (const { text } of evidence) print.line(`       ${english(text)}`);
  }
  if (findings.nextPlacement.length > 0) print.line('Next, clamp at:');
  for (const { position, gain_bits, why } of findings.nextPlacement) {
    print.line(`  ${nameIn('en', 'place', position)} (${gain_bits.toFixed(2)} bit): ${english(why)}`);
  }
}
