/** Longer texts would push a report beyond its two pages; the garage keeps them whole. */
export const clipped = (text: string, longest: number): string => {
  const plain = text
    .trim()
    .replace(/[ \t]+/g, ' ')
    .replace(/\s*\n\s*/g, '\n');
  // Cut between characters as a reader counts them, never inside one.
  const characters = [...new Intl.Segmenter().segment(plain)].map((s) => s.segment);
  return characters.length <= longest
    ? plain
    : `${characters
        .slice(0, longest - 1)
        .join('')
        .trimEnd()}…`;
};
