import { RunSchema, VisitBundleSchema } from '../../shared/bundle/visit.ts';

type Keys = Readonly<Record<string, unknown>>;

/** The keys of an object that its schema does not name. */
const beyond = (schema: { readonly shape: object }, value: Keys): Keys =>
  Object.fromEntries(Object.entries(value).filter(([key]) => !Object.hasOwn(schema.shape, key)));

export const unknownKeysOfVisit = (visit: Keys): Keys => beyond(VisitBundleSchema, visit);
export const unknownKeysOfRun = (run: Keys): Keys => beyond(RunSchema, run);
