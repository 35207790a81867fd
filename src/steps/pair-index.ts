import type { Probe } from '../circuit/reading.ts';

export type SurveyMode = 'continuity' | 'ohms';

/** Whole numbers in a row that grows; without an object for each. */
export class Row {
  #held = new Int32Array(1024);
  length = 0;

  push(value: number): void {
    if (this.length === this.#held.length) {
      const more = new Int32Array(2 * this.length);
      more.set(this.#held);
      this.#held = more;
    }
    this.#held[this.length++] = value;
  }

  copy(): Row {
    const copy = new Row();
    copy.#held = this.#held.slice();
    copy.length = this.length;
    return copy;
  }

  at(k: number): number {
    return this.#held[k] as number;
  }

  set(k: number, value: number): void {
    this.#held[k] = value;
  }
}

/**
 * Pairs of nets and how to read them, numbered as they are first asked for. A large board has hundreds
 * of thousands, so they stand in typed arrays, found by open addressing (Knuth, vol. 3, 6.4).
 */
export class PairIndex {
  /** By place: the lesser net, with the mode in its lowest bit, and the greater. */
  #low = new Row();
  #high = new Row();
  /** Place + 1 by slot; 0: free. A power of two long, at most half full. */
  #slots = new Int32Array(2048);
  /** Others go by the same lists: they are copied before anything is added. */
  #isShared = false;

  get size(): number {
    return this.#low.length;
  }

  /** Place of a pair; −1 where nobody has asked for it. */
  find(mode: SurveyMode, a: number, b: number): number {
    return (this.#slots[this.#slotOf(lowOf(mode, a, b), Math.max(a, b))] as number) - 1;
  }

  place(mode: SurveyMode, a: number, b: number): number {
    const low = lowOf(mode, a, b);
    const high = Math.max(a, b);
    const slot = this.#slotOf(low, high);
    const held = this.#slots[slot] as number;
    if (held > 0) return held - 1;
    if (this.#isShared) this.#part();
    this.#low.push(low);
    this.#high.push(high);
    this.#slots[slot] = this.size;
    if (2 * this.size > this.#slots.length) this.#grow();
    return this.size - 1;
  }

  mode(place: number): SurveyMode {
    return (this.#low.at(place) & 1) === 1 ? 'ohms' : 'continuity';
  }

  red(place: number): number {
    return this.#low.at(place) >> 1;
  }

  black(place: number): number {
    return this.#high.at(place);
  }

  probe(place: number): Probe {
    return {
      mode: this.mode(place),
      red: { net: this.red(place) },
      black: { net: this.black(place) },
    };
  }

  copy(): PairIndex {
    const copy = new PairIndex();
    copy.#low = this.#low;
    copy.#high = this.#high;
    copy.#slots = this.#slots;
    copy.#isShared = true;
    this.#isShared = true;
    return copy;
  }

  #part(): void {
    this.#low = this.#low.copy();
    this.#high = this.#high.copy();
    this.#slots = this.#slots.slice();
    this.#isShared = false;
  }

  #slotOf(low: number, high: number): number {
    const mask = this.#slots.length - 1;
    let slot = (Math.imul(low, 0x9e3779b1) ^ Math.imul(high, 0x85ebca6b)) >>> 0;
    slot = (slot ^ (slot >>> 15)) & mask;
    for (;;) {
      const place = (this.#slots[slot] as number) - 1;
      if (place < 0) return slot;
      if (this.#low.at(place) === low && this.#high.at(place) === high) return slot;
      slot = (slot + 1) & mask;
    }
  }

  #grow(): void {
    this.#slots = new Int32Array(2 * this.#slots.length);
    for (let place = 0; place < this.size; place++) {
      this.#slots[this.#slotOf(this.#low.at(place), this.#high.at(place))] = place + 1;
    }
  }
}

function lowOf(mode: SurveyMode, a: number, b: number): number {
  return 2 * Math.min(a, b) + (mode === 'ohms' ? 1 : 0);
}
