import { readFileSync, realpathSync, statSync } from 'node:fs';
import { dirname, resolve, sep } from 'node:path';
import type { PhotoState } from '../report/sheet/arrival.ts';
import type { EmbeddedPhoto } from '../report/sheet/html.ts';

/** A photo beside a job: its bytes, or why it can only be named. */
export interface FoundPhoto {
  readonly state: PhotoState;
  readonly embedded?: EmbeddedPhoto;
}

/** Bytes of one photo, and of all on one sheet: above this a browser and a mail box get slow. */
const LARGEST = 8 * 1024 * 1024;
const LARGEST_TOGETHER = 40 * 1024 * 1024;

/**
 * Reads the photos a job names. What lies outside the job's folder, by its name or by a link, is left
 * alone, and what does not begin like a picture is not taken for one.
 */
export function findPhotos(jobPath: string, files: readonly string[]): Map<string, FoundPhoto> {
  const folder = realpathSync(dirname(resolve(jobPath)));
  const found = new Map<string, FoundPhoto>();
  let left = LARGEST_TOGETHER;
  for (const file of new Set(files)) {
    const photo = readPhoto(folder, file, Math.min(left, LARGEST));
    left -= (photo.embedded?.base64.length ?? 0) * 0.75;
    found.set(file, photo);
  }
  return found;
}

function readPhoto(folder: string, file: string, most: number): FoundPhoto {
  try {
    const path = realpathSync(resolve(folder, file));
    if (!path.startsWith(folder.endsWith(sep) ? folder : folder + sep)) return { state: 'outside' };
    const about = statSync(path);
    if (!about.isFile()) return { state: 'no picture' };
    if (about.size > most) return { state: 'too large' };
    const bytes = readFileSync(path);
    const type = pictureType(bytes);
    if (type === undefined) return { state: 'no picture' };
    return { state: 'there', embedded: { type, base64: bytes.toString('base64') } };
  } catch {
    return { state: 'missing' };
  }
}

/** By the first bytes, as the file's name proves nothing. */
function pictureType(bytes: Buffer): EmbeddedPhoto['type'] | undefined {
  const starts = (at: number, text: string): boolean =>
    bytes.subarray(at, at + text.length).toString('latin1') === text;
  if (starts(0, '\x89PNG\r\n\x1a\n')) return 'image/png';
  if (starts(0, '\xff\xd8\xff')) return 'image/jpeg';
  if (starts(0, 'GIF87a') || starts(0, 'GIF89a')) return 'image/gif';
  return starts(0, 'RIFF') && starts(8, 'WEBP') ? 'image/webp' : undefined;
}
