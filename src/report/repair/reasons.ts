/** Why a part is on the list, in words. */
import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import type { NeighbourRole, Reason } from '../../job/repair/model.ts';
import { partNames } from '../names.ts';
import { percent, runsOf } from '../words.ts';

/** What a technician calls the part's place beside a transistor. */
const ROLE_WORDS: Readonly<Record<NeighbourRole, string>> = {
  'gate resistor': 'gate resistor',
  'gate clamp': 'gate clamp',
  'gate pull resistor': 'gate pull-up or pull-down',
  'turn-off diode': 'turn-off diode',
  driver: 'driver',
  'driver transistor': 'driver transistor',
  'current-sense resistor': 'carried the current',
};

/** `D-S short (72 %)`, `bank upper U, with Q2`, `gate resistor of Q2`. */
export function reasonText(board: Board, reason: Reason, isFitted: boolean): string {
  switch (reason.why) {
    case 'failed': {
      const modes = reason.modes.map(harmless).join(' or ');
      const past = reason.weight < 0.5 ? 'suspected, ' : 'had failed, ';
      return `${isFitted ? past : ''}${modes} (${percent(reason.weight)})`;
    }
    case 'seen':
      return `seen: ${reason.finding} (event ${reason.event})`;
    case 'same bank': {
      const bank = `bank ${harmless(reason.bank)}`;
      return reason.with.length === 0
        ? `${bank}, one of which failed`
        : `${bank}, with ${named(board, reason.with)}`;
    }
    case 'in parallel':
      return `beside ${named(board, reason.with)}, which failed`;
    case 'neighbour':
      return reason.role === 'current-sense resistor'
        ? `carried the current of ${named(board, reason.of)}`
        : `${roleText(board, reason.role, reason.of)} of ${named(board, reason.of)}`;
    case 'in line':
      return `in line with ${named(board, reason.of)}`;
    case 'refurbishment':
      return reason.because === 'dries out'
        ? 'due: it dries out with age'
        : 'due: the board file says it fails first';
    case 'replaced':
      return 'replaced; the record does not say why';
  }
}

/** A bipolar transistor has a base where a MOSFET has a gate. */
function roleText(board: Board, role: NeighbourRole, of: readonly number[]): string {
  const isBipolar = of.every((part) => board.parts[part]?.kind.pins.includes('B'));
  const words = ROLE_WORDS[role];
  return isBipolar ? words.replace('gate', 'base') : words;
}

function named(board: Board, parts: readonly number[]): string {
  return runsOf(partNames(board, parts), 6);
}
