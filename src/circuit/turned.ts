import type { Board, Part } from '../board/model.ts';
import type { MoreMode, PartModel } from './part-model.ts';

/** Name of the mode of a part that sits the wrong way round. */
export const TURNED_MODE = 'fitted the wrong way round';

/** A body with more legs goes in one way only, or is an IC, whose pins say little of each other. */
const MOST_LEGS = 3;

/**
 * A part as a meter sees it when its body was fitted turned end for end: the first leg in the pad of
 * the last. The order of its pins in the board file is taken to be the order of its legs.
 * @returns undefined when no junction would tell
 */
export function turnedMode(board: Board, part: Part, model: PartModel): MoreMode | undefined {
  const { pins } = part;
  if (pins.length > MOST_LEGS || model.junctions.length === 0) return undefined;
  const across = (pin: number): number => pins[pins.length - 1 - pins.indexOf(pin)] as number;
  const netOf = (pin: number): number => board.pins[pin]?.net ?? -1;
  const nets = (anode: number, cathode: number): string => `${netOf(anode)}>${netOf(cathode)}`;
  const junctions = model.junctions.map((junction) => {
    return { ...junction, anode: across(junction.anode), cathode: across(junction.cathode) };
  });
  const before = new Set(model.junctions.map(({ anode, cathode }) => nets(anode, cathode)));
  if (junctions.every(({ anode, cathode }) => before.has(nets(anode, cathode)))) return undefined;
  return {
    name: TURNED_MODE,
    share: 1,
    opens: true,
    joins: model.healthy.map(({ a, b, ohms }) => ({ a: across(a), b: across(b), ohms })),
    spread: 0,
    junctions,
    junctionOnly: model.healthy.length === 0,
  };
}
