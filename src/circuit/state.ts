/** How far the board differs from the board file at one moment. Immutable. */
export interface BoardState {
  /** Parts off the board. */
  readonly off: ReadonlySet<number>;
  /** Pins (board-wide numbers) lifted from their pads, on parts that are still there. */
  readonly lifted: ReadonlySet<number>;
  /** Which piece sits in a part's place: absent 0, as found; 1 after the first replacement. */
  readonly piece: ReadonlyMap<number, number>;
  /** Connections between nets that the board file lacks and the technician has accepted. */
  readonly links: readonly (readonly [number, number])[];
  /** How often a joint was reflowed, by pin. */
  readonly reflowed: ReadonlyMap<number, number>;
  /** How often the gap between two nets was cleaned of a bridge, by {@link netPairKey}. */
  readonly cleaned: ReadonlyMap<string, number>;
  /** How often broken copper of a net was mended, by net. */
  readonly mended: ReadonlyMap<number, number>;
}

/** One key for two nets in either order. */
export function netPairKey(a: number, b: number): string {
  return a < b ? `${a}-${b}` : `${b}-${a}`;
}

/** The board as it came in: every part on it, every leg on its pad. */
export const AS_FOUND: BoardState = {
  off: new Set(),
  lifted: new Set(),
  piece: new Map(),
  links: [],
  reflowed: new Map(),
  cleaned: new Map(),
  mended: new Map(),
};

/** A string that is equal for equal states; for caches. */
export function stateKey(state: BoardState): string {
  const nums = (set: Iterable<number>): string => [...set].sort((a, b) => a - b).join(',');
  const pieces = [...state.piece].sort((a, b) => a[0] - b[0]).map(([p, n]) => `${p}:${n}`);
  const links = state.links.map(([a, b]) => `${a}-${b}`);
  const counts = [state.reflowed, state.cleaned, state.mended].map((map) =>
    [...map]
      .map(([key, n]) => `${key}:${n}`)
      .sort()
      .join(','),
  );
  return [nums(state.off), nums(state.lifted), pieces.join(','), links.join(','), ...counts].join(
    '|',
  );
}

export function withLifted(state: BoardState, pins: readonly number[]): BoardState {
  return { ...state, lifted: new Set([...state.lifted, ...pins]) };
}

export function withOff(state: BoardState, parts: readonly number[]): BoardState {
  return { ...state, off: new Set([...state.off, ...parts]) };
}

/** The part is back as it was: every leg on its pad. `pins` are all pins of the part. */
export function withRefitted(state: BoardState, part: number, pins: readonly number[]): BoardState {
  const off = new Set(state.off);
  off.delete(part);
  const lifted = new Set(state.lifted);
  for (const pin of pins) lifted.delete(pin);
  return { ...state, off, lifted };
}

/** A new piece sits in the part's place, every leg on its pad. */
export function withReplaced(state: BoardState, part: number, pins: readonly number[]): BoardState {
  const piece = new Map(state.piece);
  piece.set(part, (piece.get(part) ?? 0) + 1);
  return { ...withRefitted(state, part, pins), piece };
}

export function withLink(state: BoardState, a: number, b: number): BoardState {
  return { ...state, links: [...state.links, [a, b]] };
}

/** The joints were reflowed. */
export function withReflowed(state: BoardState, pins: readonly number[]): BoardState {
  const reflowed = new Map(state.reflowed);
  for (const pin of pins) reflowed.set(pin, (reflowed.get(pin) ?? 0) + 1);
  return { ...state, reflowed };
}

/** A bridge between two nets was found and removed. */
export function withCleaned(state: BoardState, a: number, b: number): BoardState {
  const cleaned = new Map(state.cleaned);
  const key = netPairKey(a, b);
  cleaned.set(key, (cleaned.get(key) ?? 0) + 1);
  return { ...state, cleaned };
}

/** Broken copper of a net was mended. */
export function withMended(state: BoardState, net: number): BoardState {
  const mended = new Map(state.mended);
  mended.set(net, (mended.get(net) ?? 0) + 1);
  return { ...state, mended };
}
