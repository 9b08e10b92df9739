/**
 * The one list of keys: what the screens listen for, what the help shows, what the tests press. Chosen to be found
 * without looking: the space bar, the keys with a ridge (F, J on most keyboards), else the first letter of the word.
 */

/** Where a key is meant; every action names the screens that answer to it. */
export type KeyScreen = 'live' | 'visit' | 'findings';
export type KeyGroup = 'hear' | 'see' | 'drive' | 'play' | 'screen';

export interface KeyBinding {
  /** As `keyName` gives them: 'F', '1', 'Space', 'ArrowUp', 'Shift+ArrowUp', '+'. */
  readonly keys: readonly string[];
  readonly on: readonly KeyScreen[];
  readonly group: KeyGroup;
}

const CHANNEL_KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const;
const both = ['live', 'visit'] as const;
const live = ['live'] as const;
const visit = ['visit'] as const;
const findings = ['findings'] as const;
const recorded = ['visit', 'findings'] as const;
const all = ['live', 'visit', 'findings'] as const;

export const KEYS = {
  hearChannel: { keys: CHANNEL_KEYS, on: both, group: 'hear' },
  hearNext: { keys: ['ArrowDown', 'ArrowRight'], on: both, group: 'hear' },
  hearAbove: { keys: ['ArrowUp', 'ArrowLeft'], on: both, group: 'hear' },
  hearPrevious: { keys: ['F'], on: both, group: 'hear' },
  listenBand: { keys: ['B'], on: both, group: 'hear' },
  listenOnOff: { keys: ['L'], on: all, group: 'hear' },
  louder: { keys: ['Shift+ArrowUp'], on: all, group: 'hear' },
  softer: { keys: ['Shift+ArrowDown'], on: all, group: 'hear' },

  record: { keys: ['R'], on: live, group: 'drive' },
  mark: { keys: ['Space'], on: live, group: 'drive' },
  drivingState: { keys: ['D'], on: live, group: 'drive' },
  drivingStateBack: { keys: ['Shift+D'], on: live, group: 'drive' },
  faster: { keys: ['+', '='], on: live, group: 'drive' },
  slower: { keys: ['-', '_'], on: live, group: 'drive' },
  muchFaster: { keys: ['PageUp'], on: live, group: 'drive' },
  muchSlower: { keys: ['PageDown'], on: live, group: 'drive' },
  typeSpeed: { keys: ['S'], on: live, group: 'drive' },
  typeGearRatio: { keys: ['G'], on: live, group: 'drive' },
  recheckDone: { keys: ['C'], on: live, group: 'drive' },
  followCard: { keys: ['W'], on: live, group: 'drive' },
  nextManoeuvre: { keys: ['J'], on: live, group: 'drive' },
  spokenPrompts: { keys: ['P'], on: live, group: 'drive' },

  playStop: { keys: ['Space'], on: recorded, group: 'play' },
  seekBack: { keys: [',', 'PageUp'], on: visit, group: 'play' },
  seekForward: { keys: ['.', 'PageDown'], on: visit, group: 'play' },
  nextStretch: { keys: ['T'], on: visit, group: 'play' },
  nextRun: { keys: ['R'], on: recorded, group: 'play' },
  flipPlaces: { keys: ['F'], on: findings, group: 'play' },

  meterBand: { keys: ['M'], on: live, group: 'see' },
  clearPeaks: { keys: ['X'], on: live, group: 'see' },
  unit: { keys: ['U'], on: all, group: 'see' },
  orderRange: { keys: ['O'], on: all, group: 'see' },
  nextPart: { keys: ['ArrowDown'], on: findings, group: 'see' },
  partBefore: { keys: ['ArrowUp'], on: findings, group: 'see' },
  showChannel: { keys: CHANNEL_KEYS, on: findings, group: 'see' },
  mapShows: { keys: ['E'], on: findings, group: 'see' },

  analyse: { keys: ['A'], on: all, group: 'screen' },
  useProposal: { keys: ['P'], on: findings, group: 'screen' },
  dayNight: { keys: ['N'], on: all, group: 'screen' },
  help: { keys: ['H', '?'], on: all, group: 'screen' },
  dismissNotices: { keys: ['Escape'], on: all, group: 'screen' },
} as const satisfies Record<string, KeyBinding>;

export type KeyAction = keyof typeof KEYS;

/** What of a KeyboardEvent the choice of an action needs. */
export interface KeyStroke {
  readonly key: string;
  readonly code: string;
  readonly shiftKey: boolean;
  readonly ctrlKey: boolean;
  readonly altKey: boolean;
  readonly metaKey: boolean;
}

/**
 * The stroke's name in the list, independent of keyboard layout: digits are taken from their place (on some
 * layouts the digit row needs shift), letters from their place where the layout is not Latin.
 */
export function keyName(stroke: KeyStroke): string | null {
  if (stroke.ctrlKey || stroke.altKey || stroke.metaKey) return null;
  const digit = /^(?:Digit|Numpad)(\d)$/.exec(stroke.code);
  if (digit && !stroke.shiftKey) return digit[1]!;
  if (stroke.key === ' ') return 'Space';
  if (stroke.key.length > 1 || /^[a-z]$/i.test(stroke.key)) {
    const name = stroke.key.length > 1 ? stroke.key : stroke.key.toUpperCase();
    return stroke.shiftKey ? `Shift+${name}` : name;
  }
  const letter = /^Key([A-Z])$/.exec(stroke.code);
  if (letter && !/^[\x20-\x7e]$/.test(stroke.key)) return stroke.shiftKey ? `Shift+${letter[1]}` : letter[1]!;
  return stroke.key;
}

/** The action that a stroke means on a screen, with the key's name; null when it means nothing there. */
export function keyAction(stroke: KeyStroke, screen: KeyScreen): { action: KeyAction; name: string } | null {
  const name = keyName(stroke);
  if (name === null) return null;
  for (const action of Object.keys(KEYS) as KeyAction[]) {
    const binding: KeyBinding = KEYS[action];
    if (binding.on.includes(screen) && binding.keys.includes(name)) return { action, name };
  }
  return null;
}
