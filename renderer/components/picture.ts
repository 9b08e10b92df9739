import { ATTACHMENT_BYTES } from '../../shared/contract/visit-work.ts';

/** No camera's picture is larger; what is would only fill the memory. */
export const LARGEST_FILE_BYTES = 64_000_000;
/** Longest side: enough to tell flakes from chips. */
const LONGEST = 1600;
const QUALITIES = [0.85, 0.7, 0.5, 0.3];

/** A picture as it is kept: JPEG, base64 without its head. */
export interface Picture {
  readonly mediaType: 'image/jpeg';
  readonly base64: string;
}

/**
 * Makes a photo small enough to be kept.
 * @throws when the file is no picture
 */
export async function pictureOf(file: Blob): Promise<Picture> {
  const bitmap = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST / Math.max(bitmap.width, bitmap.height));
  const canvas = new OffscreenCanvas(
    Math.max(1, Math.round(bitmap.width * scale)),
    Math.max(1, Math.round(bitmap.height * scale)),
  );
  canvas.getContext('2d')!.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  let blob: Blob | undefined;
  for (const quality of QUALITIES) {
    blob = await canvas.convertToBlob({ type: 'image/jpeg', quality });
    if (blob.size <= ATTACHMENT_BYTES) break;
  }
  return { mediaType: 'image/jpeg', base64: await base64Of(blob!) };
}

async function base64Of(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let binary = '';
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary);
}
