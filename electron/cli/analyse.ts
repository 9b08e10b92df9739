import type { Command } from 'commander';
import { analyseVisit } from '../../shared/diagnosis/analyse.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { partName, placeName } from '../../shared/diagnosis/words-for.ts';
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
  for (const notice of findings.notices) print.log(notice);
  // Drawn spectra are for the screen: thousands of points that nobody reads here.
  const { spectra: _, ...shown } = findings;
  if (json) print.json(shown);
  else printFindings(findings);
}

function printFindings(findings: Findings): void {
  print.line(findings.summary);
  for (const { source, probability, evidence } of findings.sources.filter((s) => s.probability >= 0.01)) {
    print.line(`${(100 * probability).toFixed(0).padStart(3)} %  ${partName(source)}`);
    for (const { text } of evidence) print.line(`       ${text}`);
  }
  if (findings.nextPlacement.length > 0) print.line('Next, clamp at:');
  for (const { position, gain_bits, why } of findings.nextPlacement) {
    print.line(`  ${placeName(position)} (${gain_bits.toFixed(2)} bit): ${why}`);
  }
}
