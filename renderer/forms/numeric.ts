/** For fields that take a number: any keyboard, no memory of other vehicles' figures. */
export const NUMERIC = { inputMode: 'decimal', autoComplete: 'off' } as const;
