/** Numbers that look like chance and are the same on every machine for the same seed. */
export class Random {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** 0 ≤ x < 1. Mulberry32, public domain, T. Ettinger. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let t = this.#state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }

  /** Standard normal; Box & Muller 1958. */
  normal(): number {
    const u = Math.max(this.next(), 1e-12);
    return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * this.next());
  }

  /** Index drawn in proportion to the weights. */
  pick(weights: readonly number[]): number {
    const total = weights.reduce((a, b) => a + b, 0);
    let left = this.next() * total;
    for (let k = 0; k < weights.length; k++) {
      left -= weights[k] as number;
      if (left < 0) return k;
    }
    return weights.length - 1;
  }
}
