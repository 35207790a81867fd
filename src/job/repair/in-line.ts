/** What feeds a short: the fuse, rectifier and inrush thermistor its current ran through. */
import type { Board, Part } from '../../board/model.ts';
import { netsOf, partsOn } from './neighbours.ts';

/** Parts met on the way that suffer from a short behind them. */
const SUFFERS: ReadonlySet<string> = new Set(['fuse', 'bridge-rectifier', 'thermistor']);
/** Parts a supply's current runs through. */
const PASSES: ReadonlySet<string> = new Set(['fuse', 'inductor', 'bead', 'bridge-rectifier']);
/** Ω: a resistor or thermistor up to here may lie in a supply's way; above, it only measures. */
const MOST_PASSING_OHMS = 1;
const MOST_INRUSH_OHMS = 50;
/** Parts passed at most: further off, another branch is as likely. */
const MOST_STEPS = 8;

/** Fuses, rectifiers and inrush thermistors that a short of this part drew its current through. */
export function inLineWith(board: Board, part: Part): number[] {
  const seen = new Set(netsOf(board, part));
  const passed = new Set<number>([part.index]);
  const found: number[] = [];
  let edge = [...seen];
  for (let step = 0; step < MOST_STEPS && edge.length > 0; step += 1) {
    const next: number[] = [];
    for (const net of edge) {
      for (const other of partsOn(board, net)) {
        if (passed.has(other.index)) continue;
        const beyond = netsBeyond(board, other, net);
        if (beyond.length === 0) continue;
        passed.add(other.index);
        if (SUFFERS.has(other.kind.name)) found.push(other.index);
        for (const far of beyond) {
          if (!seen.has(far)) next.push(far);
          seen.add(far);
        }
      }
    }
    edge = next;
  }
  return found;
}

/** Nets that a supply's current goes on to from here through a part; none when it does not pass. */
function netsBeyond(board: Board, part: Part, net: number): number[] {
  if (part.windings.length > 0) {
    return part.windings.flatMap(({ pins }) => {
      const nets = pins.map((pin) => board.pins[pin]?.net ?? -1);
      return nets.includes(net) ? nets.filter((each) => each !== net) : [];
    });
  }
  if (!passesCurrent(part)) return [];
  return netsOf(board, part).filter((each) => each !== net);
}

function passesCurrent({ kind, ohms }: Part): boolean {
  if (kind.link || PASSES.has(kind.name)) return true;
  if (ohms === undefined) return false;
  if (kind.name === 'thermistor') return ohms <= MOST_INRUSH_OHMS;
  return kind.name === 'resistor' && ohms <= MOST_PASSING_OHMS;
}
