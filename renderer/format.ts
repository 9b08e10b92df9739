/** Minutes and seconds, with hours only when there are any. */
export function formatDuration(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (x: number) => String(x).padStart(2, '0');
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

export const formatDay = (iso: string, language: string): string =>
  new Intl.DateTimeFormat(language, { dateStyle: 'medium' }).format(new Date(iso));

export const formatTime = (iso: string, language: string): string =>
  new Intl.DateTimeFormat(language, { timeStyle: 'short' }).format(new Date(iso));

/** A number with the language's grouping: `128 400`, `1.95`. */
export const formatNumber = (value: number, language: string): string =>
  new Intl.NumberFormat(language, { maximumFractionDigits: 3 }).format(value);

/** Kept, since levels are written and scales drawn many times a second. */
const formats = new Map<string, Intl.NumberFormat>();

function figures(value: number, language: string, options: Intl.NumberFormatOptions): string {
  const key = `${language} ${JSON.stringify(options)}`;
  const format = formats.get(key) ?? new Intl.NumberFormat(language, { ...options, useGrouping: false });
  formats.set(key, format);
  return format.format(value).replace('-', '−');
}

/** A number with so many decimals and a true minus sign: `−12.3`. */
export const formatFixed = (value: number, decimals: number, language: string): string =>
  figures(value, language, { minimumFractionDigits: decimals, maximumFractionDigits: decimals });

/** A number at the line of a scale: `0.001`, `−20`. */
export const formatTick = (value: number, language: string): string =>
  figures(value, language, { maximumSignificantDigits: 3 });

/** A signed number with a true minus sign: `+12`, `−3`, `0`. */
export const formatSigned = (value: number): string =>
  value > 0 ? `+${value}` : String(value).replace('-', '−');

const BYTE_UNITS = ['byte', 'kilobyte', 'megabyte', 'gigabyte', 'terabyte'] as const;

/** A file size with the language's unit: `3.4 GB`. */
export function formatBytes(bytes: number, language: string): string {
  const step = Math.min(BYTE_UNITS.length - 1, Math.floor(Math.log10(Math.max(1, bytes)) / 3));
  return new Intl.NumberFormat(language, {
    style: 'unit',
    unit: BYTE_UNITS[step]!,
    maximumFractionDigits: step > 0 ? 1 : 0,
  }).format(bytes / 1000 ** step);
}
