import type { Attachment } from '../shared/contract/visit-work.ts';
import { message } from '../shared/messages/message.ts';
import { type Database, durably } from './database.ts';
import { GarageError } from './error.ts';

interface AttachmentRecord {
  id: number;
  visit_id: number | null;
  name: string;
  media_type: Attachment['mediaType'];
  file: string;
  bytes: number;
  sha256: string;
  added_at: string;
}

const attachmentFrom = (row: AttachmentRecord): Attachment => ({
  id: row.id,
  visitId: row.visit_id,
  name: row.name,
  mediaType: row.media_type,
  bytes: row.bytes,
  sha256: row.sha256,
  addedAt: row.added_at,
});

/** Photos and the logo: what is known of them; their files are somebody else's. */
export function attachmentsOf(db: Database) {
  const insert = db.prepare<[number | null, string, string, string, number, string, string]>(
    `INSERT INTO attachment (visit_id, name, media_type, file, bytes, sha256, added_at)
     VALUES (?, ?, ?, ?, ?, ?, ?)`,
  );
  const select = db.prepare<[number], AttachmentRecord>('SELECT * FROM attachment WHERE id = ?');
  const selectOfVisit = db.prepare<[number], AttachmentRecord>(
    'SELECT * FROM attachment WHERE visit_id = ? ORDER BY id',
  );
  const selectFiles = db.prepare<[], { file: string }>('SELECT file FROM attachment');
  const remove = db.prepare<[number]>('DELETE FROM attachment WHERE id = ?');

  function row(attachmentId: number): AttachmentRecord {
    const found = select.get(attachmentId);
    if (!found) throw new GarageError(message('error.notInGarage.picture'));
    return found;
  }

  return {
    /** @throws {GarageError} when there is no such attachment */
    get: (attachmentId: number): Attachment & { readonly file: string } => ({
      ...attachmentFrom(row(attachmentId)),
      file: row(attachmentId).file,
    }),
    ofVisit: (visitId: number): Attachment[] => selectOfVisit.all(visitId).map(attachmentFrom),
    add(attachment: Omit<Attachment, 'id'>, file: string): Attachment {
      return durably(db, () => {
        const { visitId, name, mediaType, bytes, sha256, addedAt } = attachment;
        const { lastInsertRowid } = insert.run(visitId, name, mediaType, file, bytes, sha256, addedAt);
        return attachmentFrom(row(Number(lastInsertRowid)));
      });
    },
    /** @throws {GarageError} when there is no such attachment */
    remove(attachmentId: number): void {
      row(attachmentId);
      durably(db, () => remove.run(attachmentId));
    },
    /** Names of all files that belong to an attachment. */
    files: (): Set<string> => new Set(selectFiles.all().map((r) => r.file)),
  };
}
export type Attachments = ReturnType<typeof attachmentsOf>;
