import { en } from './en.ts';

/** What a form's own checks can say; sentences of the main side are shown as they come. */
export type FormError = keyof typeof en.formError;

export const isFormError = (text: string): text is FormError => text in en.formError;
