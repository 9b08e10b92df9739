import { CliInputError } from './input-error.ts';

/** A number within bounds; the error names the option. */
export const numberOption =
  (name: string, min: number, max: number) =>
  (text: string): number => {
    const value = Number(text);
    if (text.trim() === '' || !(value >= min && value <= max)) {
      throw new CliInputError(`--${name}: ${text} is not a number from ${min} to ${max}`);
    }
    return value;
  };

export const wholeNumberOption =
  (name: string, min: number, max: number) =>
  (text: string): number => {
    const value = numberOption(name, min, max)(text);
    if (!Number.isInteger(value)) throw new CliInputError(`--${name}: ${text} is not a whole number`);
    return value;
  };

export const choiceOption =
  <const T extends number>(name: string, choices: readonly T[]) =>
  (text: string): T => {
    const value = choices.find((choice) => String(choice) === text);
    if (value === undefined)
      throw new CliInputError(`--${name}: ${text} is not one of ${choices.join(', ')}`);
    return value;
  };
