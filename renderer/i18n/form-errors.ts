import { en } from './en.ts';

/** What a form's own checks can say; see `useErrorText` for the rest. */
export type FormError = keyof typeof en.formError;

export const isFormError = (text: string): text is FormError => text in en.formError;
