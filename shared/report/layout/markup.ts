/** Markup that has been made safe: everything put into it was escaped. */
export class Markup {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

type Inset = Markup | string | number | null | false | readonly Inset[];

const ESCAPES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Characters that XML and HTML do not allow at all, and those that turn the reading direction of what follows. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: those are the ones to be taken out
const BARRED = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069\ufffe\uffff]/g;

export const escaped = (text: string): string =>
  text
    .toWellFormed()
    .replace(BARRED, '')
    .replace(/[&<>"']/g, (c) => ESCAPES[c]!);

function inset(value: Inset): string {
  if (value === null || value === false) return '';
  if (value instanceof Markup) return value.text;
  if (typeof value === 'object') return value.map(inset).join('');
  return escaped(String(value));
}

/**
 * HTML or SVG from a template. Whatever is put in is escaped, as text and inside quoted attributes alike, unless it is
 * itself such markup; lists are joined, null and false give nothing.
 */
export const markup = (strings: TemplateStringsArray, ...values: readonly Inset[]): Markup =>
  new Markup(strings.reduce((all, s, i) => all + inset(values[i - 1]!) + s));
