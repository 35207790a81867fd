/** What is not back on the board: nothing lifted or taken off may be forgotten. */
import type { Board } from '../board/model.ts';
import { printPin } from './points.ts';
import type { Say } from './say.ts';

/** A leg in the air, or a part that is off. */
export interface LedgerEntry {
  readonly part: number;
  /** The lifted leg; left out when the whole part is off. */
  readonly pin?: number;
  /** Event that did it. */
  readonly since: number;
}

/** The ledger after one more thing was said. */
export function nextLedger(
  board: Board,
  ledger: readonly LedgerEntry[],
  say: Say,
  since: number,
): readonly LedgerEntry[] {
  switch (say.do) {
    case 'lift': {
      const known = ledger.filter(
        (entry) => entry.pin === undefined || !say.pins.includes(entry.pin),
      );
      return [
        ...known,
        ...say.pins.map((pin) => ({ part: board.pins[pin]?.part ?? say.part, pin, since })),
      ];
    }
    case 'remove':
      return [...without(ledger, say.parts), ...say.parts.map((part) => ({ part, since }))];
    case 'look':
      if (say.finding !== 'missing' || say.part === undefined) return ledger;
      return [...without(ledger, [say.part]), { part: say.part, since }];
    case 'refit':
    case 'replace':
      return without(ledger, say.parts);
    default:
      return ledger;
  }
}

/** `Q3.D lifted since event 4`, `Q3 off the board since event 7`. */
export function ledgerText(board: Board, entry: LedgerEntry): string {
  const what =
    entry.pin === undefined
      ? `${board.parts[entry.part]?.name ?? '?'} off the board`
      : `${printPin(board, entry.pin)} lifted`;
  return `${what} since event ${entry.since}`;
}

function without(ledger: readonly LedgerEntry[], parts: readonly number[]): LedgerEntry[] {
  return ledger.filter((entry) => !parts.includes(entry.part));
}
