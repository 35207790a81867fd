const KNOWN = new Map<number, Float64Array>();

/** Zeros for all who have nothing to tell, the same array each time: not to be written to. */
export function zeros(length: number): Float64Array {
  let found = KNOWN.get(length);
  if (found === undefined) {
    found = new Float64Array(length);
    KNOWN.set(length, found);
  }
  return found;
}
