/** The level of one part's order on every channel, null where its rate is unknown or out of range. */
export interface LineLevels {
  readonly label: string;
  readonly rms: readonly (number | null)[];
}

/** `ring gear mesh 1×` is the part's words and its multiple. */
export function splitLabel(label: string): { part: string; multiple: string } {
  const match = /^(.*\S)\s+([\d.,½]+×)$/.exec(label);
  return match ? { part: match[1]!, multiple: match[2]! } : { part: label, multiple: '' };
}

/** Lines of the same part that stand side by side, for a common heading. */
export function groupLines(lines: readonly LineLevels[]): { part: string; multiples: string[] }[] {
  const groups: { part: string; multiples: string[] }[] = [];
  for (const line of lines) {
    const { part, multiple } = splitLabel(line.label);
    const last = groups.at(-1);
    if (last?.part === part) last.multiples.push(multiple);
    else groups.push({ part, multiples: [multiple] });
  }
  return groups;
}

/** For each line the channel index where it is strongest by `value`; -1 where it is known nowhere. */
export function loudestChannel(line: LineLevels, value: (ratio: number, channel: number) => number): number {
  let best = -1;
  let most = 0;
  line.rms.forEach((ratio, channel) => {
    if (ratio === null) return;
    const level = value(ratio, channel);
    if (level > most) {
      most = level;
      best = channel;
    }
  });
  return best;
}
