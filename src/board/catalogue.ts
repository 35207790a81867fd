import { readFileSync } from 'node:fs';
import { KINDS_SHAPE } from './board-shape.ts';
import { checkShape } from './check-shape.ts';
import { InputError } from './diagnostic.ts';
import { Findings } from './findings.ts';
import { readKinds } from './kinds.ts';
import type { Kind } from './model.ts';
import { readDocument } from './read-yaml.ts';
import { SourceText } from './source-text.ts';

let kept: ReadonlyMap<string, Kind> | undefined;

/** All kinds that come with the program, by name. Read once per run. */
export function catalogue(): ReadonlyMap<string, Kind> {
  kept ??= readCatalogue(readFileSync(new URL('./kinds.yaml', import.meta.url), 'utf8'));
  return kept;
}

/**
 * Reads kinds from the text of a catalogue file.
 * @throws {InputError} with everything wrong in it
 */
export function readCatalogue(text: string, file = 'kinds.yaml'): ReadonlyMap<string, Kind> {
  const findings = new Findings(new SourceText(text, file));
  const raw = readDocument(findings.source);
  const kinds = readKinds(raw && checkShape(raw, KINDS_SHAPE, findings), findings);
  if (findings.errors().length > 0) throw new InputError(findings.errors());
  return kinds;
}
