import { FIELD, OUTLINE, PLACES, WHEEL_CENTRES } from '../../vehicle-view/vehicle-view.ts';
import type { PlaceLevel } from '../content/charts.ts';
import type { ReportContent } from '../content/report-content.ts';
import { type Markup, markup } from './markup.ts';

/** Marks run from this far below the loudest place to it. */
const RANGE_DB = 24;
const SMALLEST = 7;
const LARGEST = 9;
/** Dark marks bear white numbers. */
const DARK_FROM = 0.6;

/** Where nothing could be measured against the others. */
const PLACE_RADIUS = 3;

const LINE = '#000';

/** The vehicle from above, front up, with the level at every place; legible in black on white. */
export function vehiclePicture(
  { picture, levels }: Pick<ReportContent, 'picture' | 'levels'>,
  label: string,
  front: string,
): Markup {
  const { layout } = picture;
  const shaft = (d: string): Markup =>
    markup`<path d="${d}" stroke="${LINE}" stroke-width="1.6" stroke-dasharray="${layout === null ? '2 2' : 'none'}" fill="none"/>`;
  const marks = levels
    ? levels.places.filter((p) => p.position in PLACES).map(levelMark)
    : picture.places.filter((p) => p in PLACES).map(placeMark);
  return markup`<svg class="vehicle" viewBox="-2 -8 104 180" width="${FIELD.width}" height="${FIELD.height}" role="img" aria-label="${label}">
<text x="50" y="-2" font-size="6" text-anchor="middle">${front} ▲</text>
<path d="${OUTLINE.body}" fill="#fff" stroke="${LINE}" stroke-width="1"/>
<path d="${OUTLINE.glass}" fill="#f2f2f2" stroke="#999" stroke-width="0.5"/>
<g fill="#fff" stroke="#666" stroke-width="0.7">
<path d="${OUTLINE.engine}"/><path d="${OUTLINE.gearbox}"/>
${WHEEL_CENTRES.map(({ x, y }) => markup`<rect x="${x - 6.5}" y="${y - 13}" width="13" height="26" rx="3"/>`)}
</g>
${layout !== 'rwd' && shaft(OUTLINE.frontShafts)}${layout !== 'fwd' && shaft(OUTLINE.rearShafts)}
${marks}
</svg>`;
}

function levelMark({ position, level_db, heard }: PlaceLevel): Markup {
  const { x, y } = PLACES[position as keyof typeof PLACES];
  const strength = Math.max(0, 1 + level_db / RANGE_DB);
  const radius = SMALLEST + (LARGEST - SMALLEST) * strength;
  const grey = Math.round(255 * (1 - strength));
  const number = `${heard ? '' : '≤'}${String(Math.round(level_db)).replace('-', '−')}`;
  return markup`<g><circle cx="${x}" cy="${y}" r="${radius.toFixed(1)}" fill="rgb(${grey},${grey},${grey})" stroke="${LINE}" stroke-width="${level_db === 0 ? 1.4 : 0.7}"/>
<text x="${x}" y="${y + 1.6}" font-size="${heard ? 4.8 : 4.2}" font-weight="700" text-anchor="middle" fill="${strength >= DARK_FROM ? '#fff' : '#000'}">${number === '−0' ? '0' : number}</text></g>`;
}

function placeMark(position: string): Markup {
  const { x, y } = PLACES[position as keyof typeof PLACES];
  return markup`<circle cx="${x}" cy="${y}" r="${PLACE_RADIUS}" fill="#fff" stroke="${LINE}" stroke-width="1"/>`;
}
