import type { LevelsContent } from '../content/charts.ts';
import type { ReportWords } from '../words.ts';
import { type Markup, markup } from './markup.ts';

const WIDTH = 480;
const ROW = 19;
const NAMES = 200;
const BARS = 170;
const LEAST_RANGE_DB = 12;

/** A bar for every place, the loudest first: the whole length is the loudest, none the range below it. */
export function levelChart({ title, places }: LevelsContent, words: ReportWords): Markup {
  const faintest = -Math.min(...places.map((p) => p.level_db));
  const range = Math.max(LEAST_RANGE_DB, 1.2 * faintest);
  const rows = places.map(({ name, level_db, heard }, i) => {
    const y = i * ROW;
    const length = BARS * (1 + level_db / range);
    const value =
      level_db === 0 ? words.t('levels.loudest') : `${heard ? '' : '≤ '}${words.decibels(level_db, 1)}`;
    return markup`<text x="${NAMES - 6}" y="${y + 13}" text-anchor="end">${name}</text>
<rect x="${NAMES}" y="${y + 3}" width="${length.toFixed(1)}" height="${ROW - 6}" fill="${heard ? (i === 0 ? '#000' : '#777') : '#fff'}" stroke="#000" stroke-width="0.8"/>
<text x="${(NAMES + length + 5).toFixed(1)}" y="${y + 13}">${value}</text>`;
  });
  return markup`<svg class="chart" viewBox="0 0 ${WIDTH} ${places.length * ROW + 2}" font-size="11" role="img" aria-label="${title}">${rows}</svg>`;
}
