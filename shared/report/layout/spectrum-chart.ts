import type { SpectrumContent } from '../content/charts.ts';
import type { ReportWords } from '../words.ts';
import { type Markup, markup } from './markup.ts';

const WIDTH = 740;
const HEIGHT = 150;
const LEFT = 38;
const RIGHT = 6;
const TOP = 36;
const BOTTOM = 30;
const DB_STEP = 20;

/** Round steps of which about ten cover the range. */
function stepFor(range: number): number {
  const rough = range / 10;
  const power = 10 ** Math.floor(Math.log10(rough));
  return power * ([1, 2, 5].find((s) => s * power >= rough) ?? 10);
}

const ticks = (low: number, high: number, step: number): number[] =>
  Array.from(
    { length: Math.floor(high / step) - Math.ceil(low / step) + 1 },
    (_, i) => (Math.ceil(low / step) + i) * step,
  );

/** Levels over the turns of a wheel: the loud place solid, the quiet one dashed, the part's orders marked by number. */
export function spectrumChart(spectrum: SpectrumContent, words: ReportWords): Markup {
  const { lines, marks, highestOrder } = spectrum;
  const levels = lines.flatMap((l) => l.level_db);
  const low = Math.floor(Math.min(...levels) / DB_STEP) * DB_STEP;
  const high = Math.ceil((Math.max(...levels) + 3) / DB_STEP) * DB_STEP;
  const x = (order: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * order) / highestOrder;
  const y = (db: number): number => HEIGHT - BOTTOM - ((HEIGHT - TOP - BOTTOM) * (db - low)) / (high - low);
  const path = (orders: readonly number[], level_db: readonly number[]): string =>
    orders.map((o, i) => `${i === 0 ? 'M' : 'L'}${x(o).toFixed(1)} ${y(level_db[i]!).toFixed(1)}`).join('');
  const bottom = HEIGHT - BOTTOM;
  // Marks that stand close together take turns on two heights.
  const raised = marks.map((m, i) => i > 0 && i % 2 === 1 && x(m.order) - x(marks[i - 1]!.order) < 12);
  return markup`<svg class="chart" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-size="11" role="img" aria-label="${spectrum.title}">
${ticks(low, high, DB_STEP).map(
  (db) => markup`<path d="M${LEFT} ${y(db).toFixed(1)}H${WIDTH - RIGHT}" stroke="#ccc" stroke-width="0.6"/>
<text x="${LEFT - 4}" y="${(y(db) + 3.5).toFixed(1)}" text-anchor="end">${words.number(db)}</text>`,
)}
${ticks(0, highestOrder, stepFor(highestOrder)).map(
  (order) => markup`<path d="M${x(order).toFixed(1)} ${bottom}v3" stroke="#000" stroke-width="0.8"/>
<text x="${x(order).toFixed(1)}" y="${bottom + 13}" text-anchor="middle">${words.number(order)}</text>`,
)}
<path d="M${LEFT} ${bottom}H${WIDTH - RIGHT}" stroke="#000" stroke-width="1"/>
<text x="${WIDTH - RIGHT}" y="${HEIGHT - 4}" text-anchor="end">${spectrum.axis}</text>
<text x="2" y="9">${spectrum.levelAxis}</text>
${marks.map(
  (
    m,
    i,
  ) => markup`<path d="M${x(m.order).toFixed(1)} ${raised[i]! ? TOP - 9 : TOP - 1}V${bottom}" stroke="#000" stroke-width="0.7" stroke-dasharray="1 2"/>
<text x="${x(m.order).toFixed(1)}" y="${raised[i]! ? TOP - 12 : TOP - 4}" text-anchor="middle" font-weight="700">${i + 1}</text>`,
)}
${[...lines]
  .reverse()
  .map(
    (l) =>
      markup`<path d="${path(l.orders, l.level_db)}" fill="none" stroke="${l.dashed ? '#666' : '#000'}" stroke-width="${l.dashed ? 0.7 : 1}" stroke-dasharray="${l.dashed ? '3 2' : 'none'}"/>`,
  )}
${lines.map(
  (l, i) => markup`<text x="${WIDTH - RIGHT}" y="${9 + 12 * i}" text-anchor="end">${l.name}</text>`,
)}
</svg>`;
}
