import { z } from 'zod';

/** A request by the schemas of what goes in and what comes back. */
export const request = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/** For requests that take nothing, or are answered with nothing. */
export const nothing = z.null();

/** Primary keys of the garage. */
export const id = z.number().int().positive();
