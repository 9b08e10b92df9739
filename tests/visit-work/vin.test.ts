import { describe, expect, it } from 'vitest';
import { textOf } from '../../shared/messages/as-text.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { checkVin, VinSchema } from '../../shared/visit-work/vin.ts';

describe('a VIN as it is typed', () => {
  it('may have blanks, hyphens and small letters', () => {
    expect(checkVin(' 1m8gdm9a-xkp 042788')).toMatchObject({ ok: true, vin: '1M8GDM9AXKP042788' });
  });

  it.each([
    ['1M8GDM9AXKPO42788', /letter O .* most likely a 0/],
    ['IM8GDM9AXKP042788', /letter I .* most likely a 1/],
    ['1M8GDM9AXKP04278Q', /letter Q/],
    ['1M8GDM9AXKP04278', /16 characters, and it must be 17/],
    ['1M8GDM9AXKP0427889', /18 characters/],
    ['1M8GDM9AXKP04278ß', /neither a letter nor a digit/],
    ['', /0 characters/],
  ])('%s is refused', (typed, problem) => {
    const check = checkVin(typed);
    if (check.ok) throw new Error('taken');
    expect(english(check.problem)).toMatch(problem);
    expect(VinSchema.safeParse(typed).error?.issues[0]?.message).toBe(textOf(check.problem));
  });

  it('with a check digit that does not fit is told, never refused, and told differently in North America', () => {
    const american = checkVin('1M8GDM9A1KP042788');
    expect(american).toMatchObject({ ok: true, checkDigit: 'differs', expected: 'X' });
    expect(american).toMatchObject({ warning: message('vin.checkDigit', { expected: 'X' }) });
    const european = checkVin('WM8GDM9A1KP042788');
    expect(european).toMatchObject({
      ok: true,
      warning: message('vin.noCheckDigit'),
    });
    expect(VinSchema.parse('WM8GDM9A1KP042788')).toBe('WM8GDM9A1KP042788');
  });
});
