import { createHash } from 'node:crypto';
import { assemble } from './assemble.ts';
import { BOARD_SHAPE } from './board-shape.ts';
import { catalogue } from './catalogue.ts';
import { checkShape } from './check-shape.ts';
import * as complaints from './complaints.ts';
import type { Diagnostic } from './diagnostic.ts';
import { InputError } from './diagnostic.ts';
import { Findings } from './findings.ts';
import type { Board } from './model.ts';
import { readDocument } from './read-yaml.ts';
import { SourceText } from './source-text.ts';

/** Beyond any board; a larger file is something else, and reading it would only take long. */
const MOST_MEGABYTES = 32;

/**
 * Reads and checks a board file.
 * @param text  what the file holds
 * @param file  its name as given, for messages; `-` for standard input
 * @returns the board, and warnings that do not stand in the way of using it
 * @throws {InputError} with every error found, in file order
 */
export function loadBoard(text: string, file: string): { board: Board; warnings: Diagnostic[] } {
  const source = new SourceText(text, file);
  const findings = new Findings(source);
  if (text.length > MOST_MEGABYTES * 1e6) {
    findings.error({ start: 0, end: 0 }, complaints.tooBig(MOST_MEGABYTES));
    throw new InputError(findings.errors());
  }
  const raw = readDocument(source);
  if (raw === undefined) findings.error({ start: 0, end: 0 }, complaints.emptyDocument());
  const checked = raw && checkShape(raw, BOARD_SHAPE, findings);
  const content = assemble(checked, catalogue(), findings);
  const errors = findings.errors();
  if (errors.length > 0) throw new InputError(errors);
  const digest = createHash('sha256').update(text).digest('hex');
  return { board: { ...content, file, digest }, warnings: findings.warnings() };
}
