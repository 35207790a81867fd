import type { Diagnostic } from '../diagnostic.ts';
import type { SourcePart } from '../import/draft.ts';

/** A pad of a listed part. */
export interface ListedPin {
  /** As printed or numbered: what a person looks for. */
  readonly name: string;
  /** What it is on its kind: `G`, `plus`; its name where that is not known. */
  readonly role: string;
  /** mm. */
  readonly at?: readonly [number, number];
  /** Its net, where the list tells it. */
  readonly net?: string;
}

/** A part whose nets are yet to be found. */
export interface ListedPart {
  readonly name: string;
  /** Name of a kind of the catalogue, or of one that an import adds. */
  readonly kind: string;
  /** Ω. */
  readonly ohms?: number;
  readonly pins: readonly ListedPin[];
  /** Pairs of pin names that a winding joins. */
  readonly windings: readonly (readonly [string, string])[];
  /** What a bill of materials says of it; none where a board file lists it. */
  readonly source?: Omit<SourcePart, 'pins'> & { readonly side?: 'top' | 'bottom' };
}

/** Parts and pins of a board, the nets unknown or known in part. */
export interface PartList {
  /** What the board is called. */
  readonly name: string;
  readonly file: string;
  /** SHA-256 of the file's text, hex. */
  readonly digest: string;
  readonly parts: readonly ListedPart[];
  readonly warnings: readonly Diagnostic[];
  /** The text of the board file it came from; none where it came from a list. */
  readonly boardText?: string;
}

/** Names of nets that stand for ones yet to be found: each pin on one is on its own. */
const YET_TO_FIND = /^(\?+|unread(_.*)?|unknown|NC_.*)$/i;

/** True for a net's name that says nothing. */
export function isYetToFind(net: string): boolean {
  return YET_TO_FIND.test(net);
}
