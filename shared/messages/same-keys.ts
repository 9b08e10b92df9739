/** A translation: the keys of the original, each with a text of its own. */
export type SameKeys<T> = { readonly [K in keyof T]: T[K] extends string ? string : SameKeys<T[K]> };

/** Dotted paths to the texts of a tree: `verdict.title`. */
export type TextKey<T> = {
  [K in keyof T & string]: T[K] extends string ? K : `${K}.${TextKey<T[K]>}`;
}[keyof T & string];
