/** Standard output carries the result and nothing else; what happens on the way goes to standard error. */
export const print = {
  json: (value: unknown): void => void process.stdout.write(`${JSON.stringify(value, null, 2)}\n`),
  line: (text: string): void => void process.stdout.write(`${text}\n`),
  log: (text: string): void => void process.stderr.write(`${text}\n`),
};
