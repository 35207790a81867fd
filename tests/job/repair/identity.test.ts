import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { type Identity, identityOf } from '../../../src/job/repair/identity.ts';

function identities(...parts: readonly string[]): Identity[] {
  const lines = parts.map((text, k) => `  X${k + 1}: {${text}}`);
  const text = `board: Shelf\nparts:\n${lines.join('\n')}\n  R99: {kind: resistor, ohms: 1, pins: [A, B]}\n`;
  const { board } = loadBoard(text, 'shelf.yaml');
  return board.parts.slice(0, parts.length).map(identityOf);
}

const RESISTOR = 'kind: resistor, pins: [A, B]';
const DIODE = 'kind: diode, pins: {A: A, K: B}';

describe('what a part is ordered as', () => {
  it('is its part number and package, whatever else is said of it', () => {
    const [a, b, c] = identities(
      `${DIODE}, part-number: ES1D, package: SMA`,
      `${DIODE}, part-number: ES1D, package: SMA, volts: 200`,
      `${DIODE}, part-number: ES1D, package: SMB`,
    );
    expect(a?.key).toBe(b?.key);
    expect(a?.key).not.toBe(c?.key);
  });

  it('is its value, rating, tolerance, package and print where it has no number', () => {
    const all = identities(
      `${RESISTOR}, ohms: 10k, package: '0603'`,
      `${RESISTOR}, ohms: 10k, tolerance: 1%, package: '0603'`,
      `${RESISTOR}, ohms: 10k, package: '0805'`,
      `${RESISTOR}, ohms: 1k, package: '0603'`,
      'kind: ceramic, farads: 2n2, volts: 250, pins: [A, B], package: disc, text: Y2',
      'kind: ceramic, farads: 2n2, volts: 250, pins: [A, B], package: disc',
    );
    expect(new Set(all.map(({ key }) => key)).size).toBe(all.length);
    expect(all.every(({ missing }) => missing.length === 0)).toBe(true);
  });

  it('is written as makers print values', () => {
    const poles = 'pins: {plus: A, minus: B}';
    const values = identities(
      `kind: electrolytic, farads: 1000u, volts: 80, ${poles}`,
      `${RESISTOR}, ohms: 0.5m, tolerance: 1%`,
      `${RESISTOR}, ohms: 4k7`,
      'kind: inductor, henries: 47u, ohms: 85m, pins: [A, B]',
    ).map(({ value }) => value);
    expect(values).toEqual(['1000 µF, 80 V', '0.5 mΩ, 1 %', '4.7 kΩ', '47 µH, 85 mΩ winding']);
  });

  it('leaves out a print that only says the value again', () => {
    const poles = 'pins: {plus: A, minus: B}';
    const [again, more] = identities(
      `kind: electrolytic, farads: 22u, volts: 100, ${poles}, text: "22u,100V"`,
      `kind: electrolytic, farads: 22u, volts: 100, ${poles}, text: low leakage`,
    );
    expect(again?.text).toBeUndefined();
    expect(more?.text).toBe('low leakage');
  });

  it('tells what is missing, a made-up value among it', () => {
    const [bare, guessed, plain] = identities(
      `${DIODE}`,
      `${RESISTOR}, ohms: 10k, package: '0603', guess: ["value unknown: taken as 10 kΩ"]`,
      `${RESISTOR}, ohms: 10k`,
    );
    expect(bare?.missing).toEqual(['part number', 'package']);
    expect(guessed?.missing).toEqual(['value']);
    expect(guessed?.value).toBe('');
    expect(plain?.missing).toEqual(['package']);
  });
});
