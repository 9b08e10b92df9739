/** Deterministic mutations, so that a failure can be repeated from its seed and its round. */

/** Park and Miller's minimal standard generator (CACM 31, 1988): 0 to 1, the same for the same seed. */
export function randomly(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

const WORDS_32 = [0, 1, 0x7f, 0xff, 0x7fff_ffff, 0x8000_0000, 0xffff_fffe, 0xffff_ffff];

/** Changes one to eight places: bytes, words, stretches copied over others, and now and then the end cut off. */
export function mutateBytes(bytes: Uint8Array, random: () => number): Uint8Array {
  const out = Buffer.from(bytes);
  const place = () => Math.floor(random() * out.length);
  for (let n = 1 + Math.floor(random() * 8); n > 0; n--) {
    const at = random() < 0.5 ? Math.floor(random() * Math.min(200, out.length)) : place();
    const kind = random();
    if (kind < 0.5) out[at] = Math.floor(random() * 256);
    else if (kind < 0.8 && at + 4 <= out.length)
      out.writeUInt32BE(WORDS_32[Math.floor(random() * WORDS_32.length)]!, at);
    else out.copyWithin(at, place(), place());
  }
  return random() < 0.1 ? out.subarray(0, place()) : out;
}

/** Values that have broken programs before: of every kind, too large, too deep, and paths out of the folder. */
const NASTY: readonly unknown[] = [
  null,
  true,
  -1,
  0,
  0.5,
  1e308,
  2 ** 53,
  '',
  '\0',
  '../../../../tmp/rumblepath-escaped',
  '/etc/passwd',
  '..\\..\\boot.ini',
  'CON',
  'a'.repeat(100_000),
  '\u202e\ud800',
  '__proto__',
  [],
  {},
  [[]],
  { __proto__: null, length: 1e9 },
  { constructor: { prototype: { polluted: true } } },
];

/** A copy of a JSON value with one to four of its values replaced, removed, repeated or joined by others. */
export function mutateJson(value: unknown, random: () => number): unknown {
  let out = structuredClone(value);
  for (let n = 1 + Math.floor(random() * 4); n > 0; n--) out = mutateOnce(out, random);
  return out;
}

function mutateOnce(value: unknown, random: () => number): unknown {
  const nasty = () => structuredClone(NASTY[Math.floor(random() * NASTY.length)]);
  if (typeof value !== 'object' || value === null || random() < 0.03) return nasty();
  const holder = value as Record<string, unknown>;
  const keys = Object.keys(holder);
  if (keys.length === 0 || random() < 0.1) {
    if (Array.isArray(value)) value.push(nasty());
    else holder[random() < 0.5 ? 'extra' : String(Math.floor(random() * 10))] = nasty();
    return value;
  }
  const key = keys[Math.floor(random() * keys.length)]!;
  if (random() < 0.15) {
    if (Array.isArray(value)) value.splice(Number(key), 1);
    else delete holder[key];
  } else if (random() < 0.1 && Array.isArray(value)) value.push(structuredClone(value[Number(key)]));
  else holder[key] = mutateOnce(holder[key], random);
  return value;
}
