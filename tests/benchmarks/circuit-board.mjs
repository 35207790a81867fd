// Random boards of any size, built like real ones: a ground and a few rails with many pins, decoupling
// and transistor banks on them, ICs, and chains of two to five pins a net; the same for the same seed.

import { Random } from '../../dist/bench/random.js';

/** @returns the text of a board file with `nets` nets */
export function randomBoardYaml(nets, seed) {
  const drawer = new BoardDrawer(new Random(seed), nets);
  while (drawer.left > 0) drawer.block();
  return drawer.text();
}

class BoardDrawer {
  left;
  #random;
  #rails;
  #nets = 0;
  #lines = [];
  #parts = 0;
  /** Local nets so far, with room for another pin. */
  #local = [];

  constructor(random, nets) {
    this.#random = random;
    this.#rails = Array.from({ length: 3 + Math.round(Math.sqrt(nets) / 6) }, (_, k) => `RAIL${k}`);
    this.left = nets - this.#rails.length - 1;
  }

  block() {
    const draw = this.#random.next();
    if (draw < 0.35) this.#chip();
    else if (draw < 0.45) this.#bank();
    else if (draw < 0.6) this.#decoupling();
    else this.#chain();
  }

  text() {
    const rails = this.#rails.map((name) => `  ${name}: {plus: ${name}, minus: GND, volts: 12}`);
    // A regulator or a fuse feeds each rail from another one, so none goes unnamed.
    const feeds = this.#rails.map((name, k) =>
      k === 0
        ? `  FEED0: {kind: electrolytic, farads: 100u, pins: {plus: ${name}, minus: GND}}`
        : `  FEED${k}: {kind: regulator, pins: {IN: ${this.#rails[k >> 1]}, GND: GND, OUT: ${name}}}`,
    );
    const head = ['board: Random', 'rails:', ...rails, 'parts:', ...feeds];
    return `${[...head, ...this.#lines].join('\n')}\n`;
  }

  /** Up to 24 pins; each signal pin leads over a resistor to a rail, ground, or a net nearby. */
  #chip() {
    const pins = 3 + Math.floor(this.#random.next() * 20);
    const named = [`VCC: ${this.#rail()}`, 'GND: GND'];
    for (let k = 0; k < pins && this.left > 0; k++) {
      const net = this.#random.next() < 0.3 ? this.#nearby() : this.#fresh();
      named.push(`P${k}: ${net}`);
      if (this.#random.next() < 0.6) this.#resistor(net, this.#end());
    }
    this.#part(`kind: ic, pins: {${named.join(', ')}}`);
    for (let k = 0; k < 2; k++) this.#capacitor(this.#rail());
  }

  /** Transistors side by side, each with a gate resistor, and a load from what they switch. */
  #bank() {
    const [drain, drive] = [this.#fresh(), this.#fresh()];
    const count = 1 + Math.floor(this.#random.next() * 4);
    for (let k = 0; k < count && this.left > 0; k++) {
      const gate = this.#fresh();
      this.#part(`kind: n-mosfet, pins: {G: ${gate}, D: ${drain}, S: GND}`);
      this.#resistor(gate, drive);
    }
    this.#resistor(drive, 'GND');
    this.#part(`kind: inductor, pins: [${drain}, ${this.#rail()}]`);
    this.#part(`kind: diode, pins: {A: ${drain}, K: ${this.#rail()}}`);
  }

  #decoupling() {
    const rail = this.#rail();
    const count = 1 + Math.floor(this.#random.next() * 4);
    for (let k = 0; k < count; k++) this.#capacitor(rail);
  }

  /** Resistors in a row from a rail or a net nearby to another, filtered to ground on the way. */
  #chain() {
    let from = this.#end();
    const links = 1 + Math.floor(this.#random.next() * 5);
    for (let k = 0; k < links && this.left > 0; k++) {
      const net = this.#fresh();
      this.#resistor(from, net);
      if (this.#random.next() < 0.4) this.#capacitor(net);
      from = net;
    }
    this.#resistor(from, this.#end());
  }

  /** Mostly 1 kΩ to 1 MΩ, so that a rail with a hundred of them on it is no short. */
  #resistor(a, b) {
    if (a === b) return;
    const least = this.#random.next() < 0.05 ? 1 : 3;
    const ohms = Math.round(10 ** (least + 3 * this.#random.next()));
    this.#part(`kind: resistor, ohms: ${ohms}, pins: [${a}, ${b}]`);
  }

  #capacitor(net) {
    this.#part(`kind: ceramic, farads: 100n, pins: [${net}, GND]`);
  }

  #part(rest) {
    this.#parts++;
    this.#lines.push(`  X${this.#parts}: {${rest}}`);
  }

  #fresh() {
    this.left--;
    const net = `N${++this.#nets}`;
    this.#local.push(net);
    return net;
  }

  #rail() {
    const { length } = this.#rails;
    return this.#rails[Math.floor(length * this.#random.next() ** 2)]; // the first carry most
  }

  #end() {
    const draw = this.#random.next();
    if (draw < 0.35) return 'GND';
    return draw < 0.6 ? this.#rail() : this.#nearby();
  }

  /** Mostly a net drawn lately; one in ten from anywhere. Each is taken once, so its pins stay few. */
  #nearby() {
    const { length } = this.#local;
    if (length === 0) return 'GND';
    const reach = this.#random.next() < 0.1 ? length : Math.min(length, 40);
    const at = length - 1 - Math.floor(this.#random.next() * reach);
    return this.#local.splice(at, 1)[0];
  }
}
