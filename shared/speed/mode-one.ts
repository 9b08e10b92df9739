/**
 * Current data of the vehicle bus, service 01 of SAE J1979 (ISO 15031-5): a request is the service and the parameter
 * identifier (PID), an answer repeats both, the service with 0x40 added, and carries the data bytes A, B, ...
 */

export const PIDS = {
  engine: { request: '010C', answer: '410C', bytes: 2 },
  road: { request: '010D', answer: '410D', bytes: 1 },
} as const;
export type Quantity = keyof typeof PIDS;

/** PID 0C, engine speed in 1/min: (256 A + B) / 4. */
export const engineSpeed_rpm = (a: number, b: number): number => (256 * a + b) / 4;
/** PID 0D, vehicle speed: A, in whole km/h. */
export const vehicleSpeed_km_h = (a: number): number => a;

/**
 * What an adapter answered to one request: a value; that a control unit refused; text, as adapters write when the
 * vehicle does not answer (`NO DATA` and the like) or while they look for its bus; nothing; or what is no text at all.
 */
export type AdapterReply =
  | { readonly kind: 'value'; readonly value: number }
  | { readonly kind: 'refused' }
  | { readonly kind: 'text' }
  | { readonly kind: 'nothing' }
  | { readonly kind: 'garbled' };

/** Printable ASCII and line ends. */
export const isText = (text: string): boolean => /^[\t\r\n -~]*$/.test(text);

/** Before the answer may stand the header of the bus, behind it filling or a checksum. */
interface AnswerForm {
  readonly header: RegExp;
  /** Behind the data bytes, which are counted: in hexadecimal digits. */
  readonly tail: RegExp;
  /** Begins with the length of what follows, as a single frame on ISO 15765-2 does. */
  readonly length: boolean;
}
const ANSWER_FORMS: readonly AnswerForm[] = [
  { header: /^/, tail: /^$/, length: false },
  // ISO 15765-4, 11-bit identifiers of the answering control units 7E8 to 7EF, filled up to eight bytes or not.
  { header: /^7E[89A-F]/, tail: /^(..){0,6}$/, length: true },
  // ISO 15765-4, 29-bit identifiers: to the tester F1.
  { header: /^18DAF1../, tail: /^(..){0,6}$/, length: true },
  // SAE J1850 and ISO 9141-2 (48 6B or 41 6B and the sender), ISO 14230-4 (length, tester F1, sender); a checksum.
  { header: /^4[18]6B../, tail: /^..$/, length: false },
  { header: /^8.F1../, tail: /^..$/, length: false },
];

/**
 * Reads what came between a request and the adapter's prompt. Tolerates echo, spaces, empty lines, headers switched on
 * or off, progress text before the answer on its line, and several control units: of those the one with the lowest
 * identifier counts, which is the engine's by common practice, else the one that answered first. Neither noise nor the
 * answer to another request gives a value.
 */
export function parseReply(text: string, quantity: Quantity): AdapterReply {
  let best: { header: string; value: number } | null = null;
  let refused = false;
  let words = false;
  for (const line of text.split(/[\r\n]+/)) {
    const answer = answerOf(line, quantity);
    if (answer === null) words ||= line.trim() !== '' && compact(line) !== PIDS[quantity].request;
    else if (answer === 'refused') refused = true;
    else if (!best || answer.header < best.header) best = answer;
  }
  if (best) return { kind: 'value', value: best.value };
  if (!isText(text)) return { kind: 'garbled' };
  return { kind: refused ? 'refused' : words ? 'text' : 'nothing' };
}

const compact = (line: string): string => line.replaceAll(/\s/g, '').toUpperCase();

function answerOf(line: string, quantity: Quantity): { header: string; value: number } | 'refused' | null {
  const { request, answer, bytes } = PIDS[quantity];
  // Behind the dots or the colon of `searching...` or `bus: ...`, behind an echo without a line end.
  let digits = compact(line).replace(/^.*[.:]/, '');
  if (digits.startsWith(request)) digits = digits.slice(request.length);
  if (!/^[0-9A-F]{4,40}$/.test(digits)) return null;
  for (const form of ANSWER_FORMS) {
    const header = form.header.exec(digits)?.[0];
    if (header === undefined) continue;
    let rest = digits.slice(header.length);
    if (form.length) {
      const inside = Number.parseInt(rest.slice(0, 2), 16);
      rest = rest.slice(2);
      // Negative answer: 7F, the service, the reason.
      if (inside === 3 && rest.startsWith('7F01')) return 'refused';
      if (inside !== answer.length / 2 + bytes) continue;
    } else if (rest.startsWith('7F01') && form.tail.test(rest.slice(6))) return 'refused';
    const data = rest.slice(answer.length, answer.length + 2 * bytes);
    if (!rest.startsWith(answer) || data.length < 2 * bytes) continue;
    if (!form.tail.test(rest.slice(answer.length + 2 * bytes))) continue;
    return { header, value: decode(quantity, data) };
  }
  return null;
}

function decode(quantity: Quantity, data: string): number {
  const a = Number.parseInt(data.slice(0, 2), 16);
  return quantity === 'road'
    ? vehicleSpeed_km_h(a)
    : engineSpeed_rpm(a, Number.parseInt(data.slice(2, 4), 16));
}
