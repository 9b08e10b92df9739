import type { ComparisonContent } from '../content/charts.ts';
import type { CostLine, OptionContent, OptionsContent } from '../content/options.ts';
import type { ReportContent } from '../content/report-content.ts';
import type { VerdictContent } from '../content/verdict.ts';
import type { ReportWords } from '../words.ts';
import { comparisonChart } from './comparison-chart.ts';
import { levelChart } from './level-chart.ts';
import { Markup, markup } from './markup.ts';
import { spectrumChart } from './spectrum-chart.ts';
import { STYLE } from './style.ts';
import { vehiclePicture } from './vehicle-picture.ts';

/** Nothing is loaded from anywhere and nothing runs: pictures lie in the page itself. */
const POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'";

const lines = (texts: readonly string[]): Markup =>
  markup`${texts.flatMap((text, i) => (i === 0 ? [text] : [markup`<br>`, text]))}`;
const paragraphs = (texts: readonly string[]): Markup =>
  markup`${texts.map((text) => markup`<p>${lines(text.split('\n'))}</p>`)}`;
const list = (texts: readonly string[]): Markup =>
  markup`<ul>${texts.map((text) => markup`<li>${lines(text.split('\n'))}</li>`)}</ul>`;

/** How small the type is: a visit of which much was noted still goes on two pages. */
export const DENSITIES = ['normal', 'dense', 'densest'] as const;
export type Density = (typeof DENSITIES)[number];

/** The whole report as one HTML document of one or two A4 pages. */
export function reportHtml(content: ReportContent, words: ReportWords, density: Density = 'normal'): string {
  const { t, language } = words;
  const { verdict, levels, spectrum, comparison, options } = content;
  const body = markup`${header(content, words)}
<main>
${facts(content)}
${content.stops.length > 0 && section(t('stop.title'), paragraphs(content.stops), 'stop')}
${section(t('verdict.title'), verdictText(verdict, words), 'verdict')}
<div class="columns">
<div>
${section(t('owner.title'), paragraphs(content.owner))}
${section(t('done.title'), paragraphs(content.done))}
${levels && section(levels.title, markup`${levelChart(levels, words)}<p class="small">${levels.sentence}</p>`)}
</div>
${section(
  t('picture.title'),
  markup`${vehiclePicture(content, t('picture.label'), t('picture.front'))}<p class="small">${content.picture.sentence}</p>`,
)}
</div>
${spectrum && section(spectrum.title, markup`${spectrumChart(spectrum, words)}<p class="small">${spectrum.sentence}</p>`)}
${comparison && section(comparison.title, comparisonText(comparison))}
${options && section(t('options.title'), optionsTable(options, words), 'options')}
${content.inspection.length > 0 && section(t('inspection.title'), list(content.inspection))}
${content.nextCheck.length > 0 && section(t('next.title'), markup`<p>${lines(content.nextCheck)}</p>`, 'next')}
${content.stillOpen.length > 0 && section(t('stillOpen'), markup`<p>${content.stillOpen.join(' ')}</p>`)}
${section(t('caution.title'), list(content.cautions))}
<div class="signatures">${content.signatures.map((s) => markup`<p>${s}</p>`)}</div>
</main>`;
  return markup`<!doctype html>
<html lang="${language}" class="${density}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width">
<title>${content.title}: ${content.facts[0]!.value}</title>
<style>${new Markup(STYLE)}</style>
</head>
<body>
${body}
</body>
</html>
`.text;
}

const section = (title: string, inside: Markup, kind = 'plain'): Markup =>
  markup`<section class="${kind}"><h2>${title}</h2>
${inside}</section>`;

function verdictText(
  { headline, certainty, why, next, leftOut }: VerdictContent,
  { t }: ReportWords,
): Markup {
  return markup`<p class="headline">${headline}</p>
${certainty !== null && markup`<p>${certainty}</p>`}
${why.length > 0 && markup`<h3>${t('verdict.why')}</h3>${list(why)}`}
${paragraphs([...(next === null ? [] : [next]), ...leftOut])}`;
}

function comparisonText(comparison: ComparisonContent): Markup {
  const { rows, axis, sentence } = comparison;
  const chart = markup`${comparisonChart(comparison)}<p class="small">${axis}</p>`;
  return markup`${rows.length > 0 && chart}<p>${sentence}</p>`;
}

function header({ shop, title, subtitle }: ReportContent, words: ReportWords): Markup {
  const { logo } = shop;
  return markup`<header>
${logo !== null && markup`<img class="logo" alt="" src="data:${logo.mediaType};base64,${logo.base64}">`}
<div class="shop">${shop.name && markup`<strong>${shop.name}</strong><br>`}${lines(shop.address)}</div>
<div class="about"><h1>${title}</h1><p>${subtitle}</p><p class="small">${words.t('made')}</p></div>
</header>`;
}

const facts = ({ facts }: ReportContent): Markup =>
  markup`<dl class="facts">${facts.map(({ name, value }) => markup`<div><dt>${name}</dt><dd>${value}</dd></div>`)}</dl>`;

function optionsTable({ about, horizon, options, remarks }: OptionsContent, words: ReportWords): Markup {
  const { t } = words;
  const cells = (cell: (option: OptionContent) => Markup | string): Markup =>
    markup`${options.map((o) => markup`<td>${cell(o)}</td>`)}`;
  const row = (name: string, cell: (option: OptionContent) => Markup | string): Markup =>
    markup`<tr><th scope="row">${name}</th>${cells(cell)}</tr>`;
  const steps = (shown: readonly CostLine[]): Markup =>
    markup`${shown.map(
      ({ label, reckoning, amount }) =>
        markup`<p class="step">${label}${reckoning && `: ${reckoning}`} = <b>${amount}</b></p>`,
    )}`;
  return markup`${about !== null && markup`<p>${about}</p>`}
<table>
<thead><tr><td></td>${options.map(
    (o) =>
      markup`<th scope="col"${new Markup(o.chosen ? ' class="chosen"' : '')}>${o.name}${o.chosen && markup`<br>✓ ${t('options.chosen')}`}</th>`,
  )}</tr></thead>
<tbody>
<tr><td></td>${cells((o) => markup`<span class="${o.offered ? 'fits' : 'refused'}">${o.fits}</span>`)}</tr>
${row(t('options.now'), (o) => markup`<strong>${o.now ?? t('options.noPrice')}</strong>`)}
${row(t('options.overHorizon', { distance: horizon }), (o) => markup`<strong>${o.expected ?? t('options.noExpected')}</strong>`)}
${row(t('options.reckoned'), (o) => markup`${steps(o.nowSteps)}${steps(o.expectedSteps)}${o.notes.map((n) => markup`<p class="step">${n}</p>`)}`)}
${row(t('options.risk'), (o) => markup`${o.risk.map((r) => markup`<p class="step">${r}</p>`)}`)}
</tbody>
</table>
${paragraphs(remarks)}`;
}
