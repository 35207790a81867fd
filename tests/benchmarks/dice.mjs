/** Numbers from 0 to 1 by Marsaglia's xorshift; nothing is shared with the simulated bench. */
export function dice(seed) {
  let x = (seed * 2654435761 + 97) >>> 0 || 1;
  const next = () => {
    x ^= x << 13;
    x >>>= 0;
    x ^= x >>> 17;
    x ^= x << 5;
    x >>>= 0;
    return x / 2 ** 32;
  };
  for (let n = 0; n < 20; n++) next();
  return next;
}
