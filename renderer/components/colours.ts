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

export const FONT = '"B612", "DejaVu Sans", sans-serif';
