import type { z } from 'zod';
import { type Database, durably } from './database.ts';

/** The shop's settings, one JSON value per name; the schema belongs to whoever uses the setting. */
export function settingsOf(db: Database) {
  const select = db.prepare<[string], { value: string }>('SELECT value FROM setting WHERE name = ?');
  const upsert = db.prepare<[string, string]>(
    'INSERT INTO setting (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
  );
  return {
    /** The setting, or null when it was never made or no longer fits its schema. */
    get<S extends z.ZodType>(name: string, schema: S): z.infer<S> | null {
      const row = select.get(name);
      return row ? (schema.safeParse(JSON.parse(row.value)).data ?? null) : null;
    },
    set(name: string, value: unknown): void {
      durably(db, () => upsert.run(name, JSON.stringify(value)));
    },
  };
}
export type Settings = ReturnType<typeof settingsOf>;
