/** Parts that share a load and have to be alike: one part number, one lot. */
import type { Board } from '../../board/model.ts';
import { identityOf } from './identity.ts';
import { neighboursOf } from './neighbours.ts';
import { areSideBySide } from './side-by-side.ts';

export interface MatchedSet {
  /** Parts to be fitted that must match each other; two at least, or one beside parts that stay. */
  readonly fitted: readonly number[];
  /** Parts of the same set that stay as they are. */
  readonly staying: readonly number[];
  readonly bank?: string;
  /** Their gate or base resistors, renewed or not, which have to be alike too. */
  readonly gateResistors: readonly number[];
  /** The gate resistors differ in the board file itself. */
  readonly gateResistorsDiffer: boolean;
}

/** Sets among the parts to be fitted: banks, and parts side by side that carry no bank's name. */
export function matchedSets(board: Board, fitted: readonly number[]): MatchedSet[] {
  const left = new Set(fitted);
  const sets: MatchedSet[] = [];
  for (const index of fitted) {
    const part = board.parts[index];
    if (part === undefined || !left.has(index)) continue;
    const all = board.parts.filter((other) =>
      part.bank === undefined
        ? other.index === index || (other.bank === undefined && areSideBySide(board, part, other))
        : other.bank === part.bank,
    );
    const same = all.filter((other) => other.kind === part.kind).map((other) => other.index);
    const ours = same.filter((each) => left.has(each));
    for (const each of ours) left.delete(each);
    if (same.length < 2 || !SHARE_A_LOAD.has(part.kind.name)) continue;
    sets.push(
      setOf(
        board,
        ours,
        same.filter((each) => !ours.includes(each)),
        part.bank,
      ),
    );
  }
  return sets;
}

/** Kinds whose neighbours in parallel take more when one differs. */
const SHARE_A_LOAD: ReadonlySet<string> = new Set([
  'n-mosfet',
  'p-mosfet',
  'igbt',
  'npn',
  'pnp',
  'diode',
  'schottky',
  'electrolytic',
  'tantalum',
  'resistor',
  'film',
]);

function setOf(
  board: Board,
  fitted: readonly number[],
  staying: readonly number[],
  bank: string | undefined,
): MatchedSet {
  const resistors = [...fitted, ...staying].flatMap((index) => {
    const part = board.parts[index];
    const found = part === undefined ? [] : neighboursOf(board, part);
    return found.filter(({ role }) => role === 'gate resistor').map((each) => each.part);
  });
  const gateResistors = [...new Set(resistors)].sort((a, b) => a - b);
  const kinds = gateResistors.flatMap((index) => board.parts[index] ?? []);
  return {
    fitted,
    staying,
    ...(bank === undefined ? {} : { bank }),
    gateResistors,
    gateResistorsDiffer: new Set(kinds.map((part) => identityOf(part).value)).size > 1,
  };
}
