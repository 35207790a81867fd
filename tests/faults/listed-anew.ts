import { type BoardState, stateKey } from '../../src/circuit/state.ts';
import { askedParts } from '../../src/faults/asked-parts.ts';
import type { Bench } from '../../src/faults/diagnose.ts';
import type { Evidence } from '../../src/faults/evidence.ts';
import type { Fault } from '../../src/faults/fault.ts';
import { jointFault } from '../../src/faults/loose-faults.ts';
import { ownEvidence } from '../../src/faults/own-evidence.ts';
import {
  classKey,
  type Draft,
  merge,
  pieceDrafts,
  updateBank,
} from '../../src/faults/piece-faults.ts';
import { touchedParts } from '../../src/faults/state-faults.ts';

/** All faults of parts and joints, with nothing taken over from a board as it came in. */
export interface Listed {
  readonly faults: readonly Omit<Fault, 'id' | 'group'>[];
  /** By fault: what it excludes, itself included, as places in the list. */
  readonly groups: readonly (readonly number[])[];
  readonly bankChance: readonly number[];
}

export function listedAnew(
  { circuit, priors, settings, meter }: Bench,
  evidence: Evidence,
): Listed {
  const { board } = circuit;
  const asked = askedParts(circuit, evidence.readings).parts;
  const sources = { circuit, priors, settings, asked };
  const own = ownEvidence(sources, evidence, meter);
  const met = [...evidence.readings.map(({ state }) => state), evidence.state];
  const states = [
    ...new Map(met.map((state): [string, BoardState] => [stateKey(state), state])).values(),
  ];
  const partOf = (pin: number): number => board.pins[pin]?.part ?? -1;
  const touched = new Set(states.flatMap((state) => [...touchedParts(state, partOf)]));
  const bankChance = Float64Array.from(priors.banks, ({ chance }) => chance);
  const classes = new Map<string, Draft[]>();
  for (const { index } of board.parts) {
    const isSingled = [...own.keys()].some((key) => {
      const [what, pin] = key.split(':');
      return what === 'joint' && partOf(Number(pin)) === index;
    });
    for (let piece = 0; piece <= (evidence.state.piece.get(index) ?? 0); piece++) {
      const bank = piece > 0 ? -1 : priors.banks.findIndex(({ parts }) => parts.includes(index));
      const known = own.get(`${index}:${piece}`);
      if (known !== undefined && bank >= 0) updateBank(bankChance, bank, known);
      for (const draft of pieceDrafts(sources, index, piece, bank, known)) {
        const isApart = known !== undefined || isSingled;
        const key = classKey(board, draft, isApart, touched.has(index) ? states : []);
        classes.set(key, [...(classes.get(key) ?? []), draft]);
      }
    }
  }
  const groups = new Map<string, number[]>();
  const faults: Omit<Fault, 'id' | 'group'>[] = [];
  for (const drafts of classes.values()) {
    const [first] = drafts as [Draft];
    const name = drafts.length > 1 ? `class ${faults.length}` : `${first.part}:${first.piece}`;
    groups.set(name, [...(groups.get(name) ?? []), faults.length]);
    const members = drafts.map(({ part, chance }) => ({ part, chance }));
    faults.push(merge(board, first, members, -1, -1));
  }
  for (const pin of board.pins) {
    for (let repairs = 0; repairs <= (evidence.state.reflowed.get(pin.index) ?? 0); repairs++) {
      const factor = own.get(`joint:${pin.index}:${repairs}`)?.modes[0] ?? 1;
      groups.set(`joint ${pin.index} ${repairs}`, [faults.length]);
      faults.push(jointFault(pin, priors, repairs, factor));
    }
  }
  return { faults, groups: [...groups.values()], bankChance: [...bankChance] };
}
