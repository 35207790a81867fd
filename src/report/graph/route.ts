/** A place on the page. */
export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** A rectangle by its middle. */
export interface Box extends Spot {
  readonly width: number;
  readonly height: number;
}

export interface Edge {
  readonly from: Box;
  readonly to: Box;
  /** Where the layout leads it between both, one place in every rank it passes. */
  readonly middle: readonly Spot[];
}

/**
 * Ways of edges that keep clear of every box: straight through the whole depth of each rank, aslant only
 * in the gaps between ranks.
 * @param boxes all that has a place: nodes and labels; those of one rank share their middle
 * @param across true where ranks follow each other from left to right
 */
export function straighten(
  boxes: readonly Box[],
  edges: readonly Edge[],
  across: boolean,
): Spot[][] {
  const along = (spot: Spot): number => (across ? spot.x : spot.y);
  const depth = ({ width, height }: Box): number => (across ? width : height) / 2;
  const rank = (spot: Spot): string => along(spot).toFixed(2);
  const halves = new Map<string, number>();
  for (const box of boxes) {
    halves.set(rank(box), Math.max(halves.get(rank(box)) ?? 0, depth(box)));
  }
  const at = (spot: Spot, value: number): Spot =>
    across ? { x: value, y: spot.y } : { x: spot.x, y: value };
  return edges.map(({ from, to, middle }) => {
    const sign = along(to) >= along(from) ? 1 : -1;
    const through = (spot: Spot): Spot[] => {
      const half = (halves.get(rank(spot)) ?? 0) * sign;
      return [at(spot, along(spot) - half), at(spot, along(spot) + half)];
    };
    return [
      at(from, along(from) + depth(from) * sign),
      ...through(from).slice(1),
      ...middle.flatMap(through),
      ...through(to).slice(0, 1),
      at(to, along(to) - depth(to) * sign),
    ];
  });
}
