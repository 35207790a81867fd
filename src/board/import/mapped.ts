import { cleanNames } from './clean-names.ts';
import { guessParts } from './index.ts';
import type { JoinedPart } from './join-bom.ts';
import { proposeRails } from './rails.ts';
import { writeBoardYaml } from './write.ts';

/** Parts whose nets were found on the bench. */
export interface FoundBoard {
  readonly name: string;
  /** Lines for the head of the file. */
  readonly remarks: readonly string[];
  readonly parts: readonly JoinedPart[];
  /** By part, what a person is to confirm beside what its kind leaves open. */
  readonly guesses: ReadonlyMap<string, readonly string[]>;
}

/** A board file of such parts; points that join nothing keep a net of their own. */
export function foundBoardYaml(board: FoundBoard): string {
  const { parts } = guessParts(board.parts, 2);
  const marked = parts.map((part) => ({
    ...part,
    guesses: [...part.guesses, ...(board.guesses.get(part.name) ?? [])],
  }));
  const rails = proposeRails(marked);
  const { name, remarks } = board;
  return writeBoardYaml({ name, remarks, rails, parts: marked }, cleanNames(marked));
}
