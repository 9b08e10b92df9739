/** A sentence with its checksum, made another way than the code under test does it: bit by bit. */
export function sentence(between: string): string {
  const bits = [0, 1, 2, 3, 4, 5, 6, 7].map(
    (bit) => [...between].filter((c) => (c.charCodeAt(0) >> bit) & 1).length % 2,
  );
  const sum = bits.reduce((total, odd, bit) => total + odd * 2 ** bit, 0);
  return `$${between}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

/** Recommended minimum at a speed; the rest is of an invented place and day. */
export const rmc = (knots: string, status = 'A', mode: string | null = 'A', talker = 'GP'): string =>
  sentence(
    `${talker}RMC,081530.00,${status},4500.000,N,00900.000,E,${knots},090.0,010124,,${mode === null ? '' : `,${mode}`}`,
  );

export const bytesOf = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));
