import { describe, expect, it } from 'vitest';
import { inEnglish } from '../../electron/cli/analyse.ts';
import { FindingsSchema } from '../../shared/diagnosis/findings.ts';
import { POSITIONS, SOURCES } from '../../shared/driveline/words.ts';
import { type Message, type MessageId, MessageSchema, message } from '../../shared/messages/message.ts';
import { english, FORMATTERS, teller } from '../../shared/messages/tell.ts';
import { de } from '../../shared/messages/texts/de.ts';
import { NAMES as deNames } from '../../shared/messages/texts/de-names.ts';
import { en } from '../../shared/messages/texts/en.ts';
import { NAMES as enNames } from '../../shared/messages/texts/en-names.ts';
import { exampleFindings } from '../report/example.ts';

const german = teller('de');
const texts = Object.entries(en);
const germanOf = (key: string): string => (de as Record<string, string>)[key]!;
/** `name` and its formatter of every value in a text. */
const insets = (text: string) =>
  [...text.matchAll(/\{\{(\w+)(?:, (.*?))?\}\}/g)].map((m) => ({ name: m[1]!, formats: m[2] ?? '' }));

/** The commonest English words that no German sentence holds. */
const ENGLISH = /\b(the|of|and|is|are|at|not|noise|by|from|to|with|than|no|it|has|been|on|for)\b/i;

/** Any value that the formatters of a text can take. */
function sample(formats: string): string | number | string[] {
  if (/part/.test(formats)) return ['differential-rear', 'tyre-rear-left'];
  if (/place/.test(formats)) return 'hub-rear-left';
  if (formats === 'money') return 'EUR 1890';
  if (formats === 'moneySum') return ['EUR 1890', 'EUR 110'];
  if (/\bwheel\b/.test(formats)) return ['rear-left'];
  if (/order/.test(formats)) return 'ring gear mesh 1×';
  if (/date/.test(formats)) return '2026-05-12T09:00:00Z';
  if (/listed/.test(formats)) return ['1', '2'];
  const group = enNames[formats.replace(/\(.*|,.*/, '') as keyof typeof enNames];
  return group ? Object.keys(group)[0]! : formats === '' ? '7' : 0.5;
}
const filled = (key: string): Message => ({
  id: key.replace(/_(zero|one|other)$/, '') as MessageId,
  values: {
    count: key.endsWith('_one') ? 1 : key.endsWith('_zero') ? 0 : 5,
    ...Object.fromEntries(
      insets((en as Record<string, string>)[key]!)
        .filter((i) => i.name !== 'count')
        .map((i) => [i.name, sample(i.formats)]),
    ),
  },
});

describe('messages', () => {
  it('have the same values in both languages, put in by formatters that there are', () => {
    for (const [key, text] of texts) {
      const names = (of: string) =>
        insets(of)
          .map((i) => i.name)
          .sort();
      expect([key, names(germanOf(key))]).toEqual([key, names(text)]);
      for (const { formats } of [...insets(text), ...insets(germanOf(key))]) {
        for (const format of formats ? formats.split(', ') : []) {
          expect(Object.keys(FORMATTERS), `${key}: ${format}`).toContain(format.replace(/\(.*/, ''));
        }
      }
    }
  });

  it('are German in German, whole sentences with nothing left open', () => {
    expect(texts.length).toBeGreaterThan(200);
    for (const [key] of texts) {
      const told = german(filled(key));
      expect(told, key).not.toMatch(/\{\{|undefined|NaN|\[object/);
      expect(told, key).not.toMatch(ENGLISH);
      // A level and its reference read alike in both.
      if (told.split(' ').length > 3 && !key.startsWith('level.')) {
        expect(told, key).not.toBe(english(filled(key)));
      }
    }
    for (const group of Object.values(deNames)) {
      for (const word of Object.values(group)) expect(word).not.toMatch(ENGLISH);
    }
    // The search itself works: it finds English where there is some.
    const found = texts.filter(([key]) => ENGLISH.test(english(filled(key))));
    expect(found.length).toBeGreaterThan(0.9 * texts.filter(([, text]) => text.split(' ').length > 4).length);
  });

  it('know every place and part', () => {
    for (const names of [enNames, deNames]) {
      for (const position of POSITIONS) expect(names.place[position].length).toBeGreaterThan(3);
      for (const source of SOURCES) expect(names.part[source].length).toBeGreaterThan(3);
    }
  });

  it('speak the numbers, dates and units of their reader', () => {
    const pull = message('manoeuvre.drive.title', { speed: 80, end: 100 });
    // 80 and 100 km/h over 1.609344 km per mile (NIST SP 811) are 49.7 and 62.1 mph.
    expect(teller('en', 'imperial')(pull)).toBe('Pull from 50 mph to 62 mph in a high gear');
    expect(
      german(message('evidence.beats.outer', { order: 4.417, place: 'hub-rear-left', louder: null })),
    ).toContain('schlägt 4,42-mal je Radumdrehung');
    expect(german(message('wear.overdue', { on: '2026-05-12' }))).toBe('Überfällig seit 12.05.2026.');
    expect(german(message('prompt.backTo', { speed: 80 }))).toBe('Zurück auf 80 Kilometer pro Stunde.');
    expect(german(message('trend.tooFew', { count: 1 }))).toContain('es gibt einen');
  });

  it('put a sentence into a sentence, and leave a place of the user’s own as it is', () => {
    const say = message('manoeuvre.coast.say', { end: 60 });
    expect(english(message('prompt.onceMore', { say }))).toBe(
      'Once more. Lift off and stay in gear, down to 60 kilometres an hour.',
    );
    const own = message('next.onTheWay', { place: 'shelf {{place}} $t(written)' });
    expect(german(own)).toBe('Vergleicht den Pegel auf dem Weg dorthin: shelf {{place}} $t(written).');
  });
});

it('are printed by the command line as sentences, where the findings have messages', () => {
  const findings = exampleFindings();
  const { spectra, ...rest } = findings;
  const printed = inEnglish(findings);
  expect(printed.sources[0]!.evidence[1]!.text).toBe(
    'It changes by 14 dB between power, engine braking and no load, as gears do.',
  );
  expect(printed.summary).toBe('The rear differential makes the noise (97%).');
  expect(Object.keys(printed)).toEqual(Object.keys(rest));
  // Whoever reads it back has the same sentences.
  expect(inEnglish(FindingsSchema.parse({ ...printed, spectra }))).toEqual(printed);
});

describe('what was kept before there were messages', () => {
  it('is told as it was written', () => {
    const old = MessageSchema.parse('The rear differential makes the noise (97 %).');
    expect(german(old)).toBe('The rear differential makes the noise (97 %).');
    const findings = FindingsSchema.parse({
      verdict: 'notYet',
      sources: [
        {
          source: 'engine',
          probability: 1,
          evidence: [{ kind: 'rule', position: null, value: 0, unit: '', text: 'Not settled.' }],
        },
      ],
      nextPlacement: [{ position: 'engine-mount', gain_bits: 0.5, why: 'Not heard yet.' }],
      channels: [],
      speedCorrection: null,
      summary: 'It cannot be said yet.',
      notices: ['Run 1 was left out.'],
      convincing: null,
      spectra: [],
      lines: [],
    });
    expect(FindingsSchema.parse(JSON.parse(JSON.stringify(findings)))).toEqual(findings);
    expect(english(findings.nextPlacement[0]!.why)).toBe('Not heard yet.');
  });

  it('a message that nobody knows is refused', () => {
    expect(MessageSchema.safeParse({ id: 'no.such', values: {} }).success).toBe(false);
  });
});
