import { describe, expect, test } from 'vitest';
import { en } from '../../renderer/i18n/en.ts';
import {
  KEYS,
  type KeyAction,
  type KeyBinding,
  type KeyScreen,
  type KeyStroke,
  keyAction,
  keyName,
} from '../../renderer/keys.ts';

const stroke = (key: string, code: string, modifiers: Partial<KeyStroke> = {}): KeyStroke => ({
  key,
  code,
  shiftKey: false,
  ctrlKey: false,
  altKey: false,
  metaKey: false,
  ...modifiers,
});

const bindings = Object.entries(KEYS) as [KeyAction, KeyBinding][];

describe.each<KeyScreen>(['live', 'visit', 'findings'])('keys of the %s screen', (screen) => {
  test('mean one thing each', () => {
    const keys = bindings.filter(([, b]) => b.on.includes(screen)).flatMap(([, b]) => b.keys);
    expect(keys).toHaveLength(new Set(keys).size);
    expect(keys.length).toBeGreaterThan(15);
  });
});

test('every action has its words in the help', () => {
  expect(Object.keys(en.key).sort()).toEqual(Object.keys(KEYS).sort());
});

test('no key takes what moves the focus or presses a button', () => {
  const taken = new Set(bindings.flatMap(([, b]) => b.keys));
  for (const key of ['Tab', 'Shift+Tab', 'Enter']) expect(taken).not.toContain(key);
});

test('digits are found by their place where the digit row needs shift for digits', () => {
  expect(keyAction(stroke('&', 'Digit1'), 'live')).toEqual({ action: 'hearChannel', name: '1' });
  expect(keyAction(stroke('7', 'Numpad7'), 'live')).toEqual({ action: 'hearChannel', name: '7' });
});

test('letters are found by their place on a layout that is not Latin', () => {
  expect(keyAction(stroke('к', 'KeyR'), 'live')?.action).toBe('record');
  expect(keyAction(stroke('Д', 'KeyD', { shiftKey: true }), 'live')?.action).toBe('drivingStateBack');
});

test('caps lock changes nothing', () => {
  expect(keyAction(stroke('F', 'KeyF'), 'live')?.action).toBe('hearPrevious');
  expect(keyAction(stroke('f', 'KeyF'), 'live')?.action).toBe('hearPrevious');
});

test('plus and minus work with and without shift', () => {
  for (const key of ['+', '=']) expect(keyAction(stroke(key, 'Equal'), 'live')?.action).toBe('faster');
  expect(keyAction(stroke('+', 'Equal', { shiftKey: true }), 'live')?.action).toBe('faster');
  for (const key of ['-', '_']) expect(keyAction(stroke(key, 'Minus'), 'live')?.action).toBe('slower');
});

test.each(['ctrlKey', 'altKey', 'metaKey'] as const)('%s leaves the key to the system', (modifier) => {
  expect(keyName(stroke('r', 'KeyR', { [modifier]: true }))).toBeNull();
});

test('a key of one screen means nothing on the other', () => {
  expect(keyAction(stroke('m', 'KeyM'), 'visit')).toBeNull();
  expect(keyAction(stroke(' ', 'Space'), 'live')?.action).toBe('mark');
  expect(keyAction(stroke(' ', 'Space'), 'visit')?.action).toBe('playStop');
});
