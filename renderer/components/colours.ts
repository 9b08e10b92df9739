/** The theme's colours for canvases, which cannot read CSS custom properties themselves. */
export interface Colours {
  ink: string;
  inkSoft: string;
  ground: string;
  line: string;
  lineStrong: string;
  bar: string;
  barHeard: string;
  barTrack: string;
  accent: string;
}

export function readColours(): Colours {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: colour('--ink'),
    inkSoft: colour('--ink-soft'),
    ground: colour('--ground'),
    line: colour('--line'),
    lineStrong: colour('--line-strong'),
    bar: colour('--bar'),
    barHeard: colour('--bar-heard'),
    barTrack: colour('--bar-track'),
    accent: colour('--accent'),
  };
}

const FONT = '"B612", "DejaVu Sans", sans-serif';

/** A length in rem as pixels, so that what is drawn grows with what is written. */
export const rem = (length: number): number =>
  length * Number.parseFloat(getComputedStyle(document.documentElement).fontSize);

/** The canvas font at a size in pixels. */
export const canvasFont = (size: number, weight = ''): string => `${weight} ${size}px ${FONT}`.trim();

/** Size of the words in charts, in rem. */
export const CHART_TEXT_rem = 0.8125;
