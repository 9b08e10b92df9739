/** The level of one part's order on every channel, null where its rate is unknown or out of range. */
export interface LineLevels {
  readonly part: string;
  readonly label: string;
  readonly rms: readonly (number | null)[];
}

/** Lines of one part under a common heading. */
export interface LineGroup {
  /** The words that all labels of the group begin with. */
  readonly heading: string;
  /** What is left of each label: `1×`, or `outer ring 1×`. */
  readonly rest: readonly string[];
}

/** On a screen 1280 wide. */
const LETTERS_OVER_A_BAR = 4.5;

/**
 * Groups lines of the same part that stand side by side: `wheel 1×`, `wheel 2×` become `wheel` over `1×`, `2×`. A
 * label never goes whole into the heading: its last word, the multiple, stays below.
 */
export function groupLines(lines: readonly LineLevels[]): LineGroup[] {
  const groups: LineLevels[][] = [];
  for (const line of lines) {
    const last = groups.at(-1);
    if (last?.[0]?.part === line.part) last.push(line);
    else groups.push([line]);
  }
  return groups.map((group) => {
    const words = group.map((line) => line.label.split(' '));
    const most = Math.min(...words.map((w) => w.length - 1));
    let shared = 0;
    while (shared < most && words.every((w) => w[shared] === words[0]![shared])) shared++;
    const heading = words[0]!.slice(0, shared).join(' ');
    const longest = Math.max(...heading.split(/[ -]/).map((word) => word.length));
    // Words that have no room across stay with the multiple, upright.
    if (group.length === 1 || longest > LETTERS_OVER_A_BAR * group.length) shared = 0;
    return {
      heading: words[0]!.slice(0, shared).join(' '),
      rest: words.map((w) => w.slice(shared).join(' ')),
    };
  });
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
