import { createHash } from 'node:crypto';

/**
 * What a technician is called where figures go with a job's record: nobody reads a name back from it, and
 * the same name, however it is typed, has the same. What it gives stays as it is when it is asked again.
 */
export function handKey(name: string): string {
  const plain = name.trim().toLowerCase().replace(/\s+/gu, ' ');
  if (/^[0-9a-f]{8}$/.test(plain)) return plain;
  return createHash('sha256').update(plain).digest('hex').slice(0, 8);
}
