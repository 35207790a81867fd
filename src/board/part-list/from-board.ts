import type { Board, Part } from '../model.ts';
import { isYetToFind, type ListedPart, type PartList } from './part-list.ts';

/** The parts and pins of a board file; pins whose net it names are known to be joined. */
export function partListOf(board: Board, text: string): PartList {
  return {
    name: board.name,
    file: board.file,
    digest: board.digest,
    parts: board.parts.map((part) => listed(board, part)),
    warnings: [],
    boardText: text,
  };
}

function listed(board: Board, part: Part): ListedPart {
  const nameOf = (pin: number): string => board.pins[pin]?.name ?? '';
  return {
    name: part.name,
    kind: part.kind.name,
    ...(part.ohms === undefined ? {} : { ohms: part.ohms }),
    windings: part.windings.map(({ pins: [from, to] }) => [nameOf(from), nameOf(to)] as const),
    pins: part.pins.map((number) => {
      const { name, net, at = part.at } = board.pins[number] ?? { name: '', net: -1 };
      const known = board.nets[net]?.name;
      return {
        name,
        role: name,
        ...(at === undefined ? {} : { at }),
        ...(known === undefined || isYetToFind(known) ? {} : { net: known }),
      };
    }),
  };
}
