import type { ComparisonContent } from '../content/charts.ts';
import { type Markup, markup } from './markup.ts';

const WIDTH = 740;
const ROW = 27;
const NAMES = 290;
const SAID = 230;
const LEAST_REACH_DB = 6;

/** A row for every figure: the difference as a dot, its uncertainty as a bar, no change as the line in the middle. */
export function comparisonChart({ title, rows }: ComparisonContent): Markup {
  const reach = Math.max(
    LEAST_REACH_DB,
    ...rows.map((r) => 1.05 * (Math.abs(r.difference_db) + r.uncertainty_db)),
  );
  const [left, right] = [NAMES + 10, WIDTH - SAID];
  const x = (db: number): string => ((left + right) / 2 + ((right - left) / 2) * (db / reach)).toFixed(1);
  const height = rows.length * ROW;
  return markup`<svg class="chart" viewBox="0 0 ${WIDTH} ${height + 2}" font-size="11" role="img" aria-label="${title}">
<path d="M${x(0)} 0V${height}" stroke="#000" stroke-width="0.8"/>
${rows.map(({ figure, at, difference_db, uncertainty_db, said }, i) => {
  const y = i * ROW + ROW / 2;
  return markup`<text x="${NAMES}" y="${y - 1}" text-anchor="end">${figure}</text>
<text x="${NAMES}" y="${y + 10}" text-anchor="end" font-size="9.5">${at}</text>
<path d="M${x(difference_db - uncertainty_db)} ${y}H${x(difference_db + uncertainty_db)}" stroke="#000" stroke-width="1.4"/>
<circle cx="${x(difference_db)}" cy="${y}" r="4"/>
<text x="${WIDTH - SAID + 8}" y="${y + 4}">${said}</text>`;
})}
</svg>`;
}
