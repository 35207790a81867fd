import { existsSync, readFileSync } from 'node:fs';
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
  kept ??= builtCatalogue() ?? readCatalogue(textBeside('./kinds.yaml'));
  return kept;
}

/** What the build has read and checked already, so that no start does it again. */
function builtCatalogue(): ReadonlyMap<string, Kind> | undefined {
  if (!existsSync(new URL(BUILT, import.meta.url))) return undefined;
  return catalogueFrom(textBeside(BUILT));
}

/** The kinds of a text that {@link catalogueText} made. */
export function catalogueFrom(text: string): ReadonlyMap<string, Kind> {
  const kinds = JSON.parse(text) as BuiltKind[];
  return new Map(
    kinds.map((kind) => [kind.name, { ...kind, pinAliases: new Map(kind.pinAliases) }]),
  );
}

/** The catalogue as the build keeps it in {@link BUILT}. */
export function catalogueText(kinds: ReadonlyMap<string, Kind>): string {
  const built = [...kinds.values()].map(
    (kind): BuiltKind => ({ ...kind, pinAliases: [...kind.pinAliases] }),
  );
  return JSON.stringify(built);
}

const BUILT = './kinds.json';

type BuiltKind = Omit<Kind, 'pinAliases'> & {
  readonly pinAliases: readonly (readonly [string, string])[];
};

function textBeside(name: string): string {
  return readFileSync(new URL(name, import.meta.url), 'utf8');
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
