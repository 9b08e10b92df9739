import { describe, expect, it } from 'vitest';
import { de } from '../../renderer/i18n/de.ts';
import { en } from '../../renderer/i18n/en.ts';

/** All texts of a tree by their path. */
function texts(tree: object, path = ''): [string, string][] {
  return Object.entries(tree).flatMap(([key, value]) =>
    typeof value === 'string'
      ? ([[`${path}${key}`, value]] as [string, string][])
      : texts(value as object, `${path}${key}.`),
  );
}
const values = (text: string) => [...text.matchAll(/\{\{(\w+)\}\}/g)].map((m) => m[1]).sort();

describe('the languages of the screens', () => {
  const english = texts(en);
  const german = new Map(texts(de));

  it('have the same keys', () => {
    expect([...german.keys()].sort()).toEqual(english.map(([key]) => key).sort());
  });

  it('put the same values into each text', () => {
    for (const [key, text] of english) expect([key, values(german.get(key)!)]).toEqual([key, values(text)]);
  });

  it('leave no sentence untranslated', () => {
    // A level and its reference read alike in both.
    const sentences = english.filter(
      ([, text]) => text.replace(/\{\{\w+\}\}/g, '').split(' ').length > 3 && !text.startsWith('dB re'),
    );
    expect(sentences.length).toBeGreaterThan(150);
    expect(sentences.filter(([key, text]) => german.get(key) === text)).toEqual([]);
  });
});
