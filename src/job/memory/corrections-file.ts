/** What people put right in the memory: a file of lines, each of which stands for itself. */
import { appendFileSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { errorCode } from '../disk.ts';
import { inWords } from '../disk-problem.ts';
import type { Corrections } from './models.ts';

export type Correction =
  | { readonly forget: string }
  | { readonly recall: string }
  | { readonly merge: readonly [name: string, same: string] };

/** Lines that are none are passed over: half a line of a run that was cut short. */
export function readCorrections(path: string): Corrections {
  const forgotten = new Set<string>();
  const sameAs = new Map<string, string>();
  for (const line of textOf(path).split('\n')) {
    const said = correctionIn(line);
    if (said === undefined) continue;
    if ('forget' in said) forgotten.add(said.forget);
    else if ('recall' in said) forgotten.delete(said.recall);
    else if (said.merge[0] === said.merge[1]) sameAs.delete(said.merge[0]);
    else sameAs.set(...said.merge);
  }
  return { forgotten, sameAs };
}

/**
 * Adds a line in one write at the end of the file, so that two runs at once lose neither's.
 * @throws {InputError} when it cannot be written
 */
export function addCorrection(path: string, said: Correction): void {
  inWords(`cannot write "${path}"`, () => {
    mkdirSync(dirname(path), { recursive: true });
    // A line that was cut short before must not swallow this one.
    appendFileSync(path, `\n${JSON.stringify(said)}\n`, { flush: true });
  });
}

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return '';
    return inWords(`cannot read "${path}"`, () => {
      throw error;
    });
  }
}

function correctionIn(line: string): Correction | undefined {
  let said: unknown;
  try {
    said = JSON.parse(line);
  } catch {
    return undefined;
  }
  if (typeof said !== 'object' || said === null) return undefined;
  const { forget, recall, merge } = said as Readonly<Record<string, unknown>>;
  if (typeof forget === 'string') return { forget };
  if (typeof recall === 'string') return { recall };
  if (!Array.isArray(merge) || merge.length !== 2) return undefined;
  const [name, same] = merge as unknown[];
  return typeof name === 'string' && typeof same === 'string' ? { merge: [name, same] } : undefined;
}
