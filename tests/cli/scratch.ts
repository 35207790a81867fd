import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A folder of its own for one test, with a small board in it. */
export function scratchFolder(): { readonly cwd: string; remove(): void } {
  const cwd = mkdtempSync(join(tmpdir(), 'trace-short-'));
  writeFileSync(join(cwd, 'lamp.yaml'), LAMP);
  return { cwd, remove: () => rmSync(cwd, { recursive: true, force: true }) };
}

/** A lamp driver: two rails, a bank of two transistors, a jumper between two copper areas. */
export const LAMP = `board: Workbench lamp driver
rails:
  supply: {plus: P24, minus: GND, volts: 24}
  lamp: {plus: P24_LAMP, minus: GND, volts: 24}
parts:
  J1: {kind: connector, pins: {1: P24, 2: GND}}
  J2: {kind: connector, pins: {1: P24_LAMP, 2: LAMP_LOW}}
  C1: {kind: electrolytic, farads: 470u, volts: 35, pins: {plus: P24, minus: GND}, at: [10, 12]}
  C2: {kind: ceramic, farads: 1u, volts: 50, pins: [P24_LAMP, GND]}
  D1: {kind: suppressor, pins: {A: GND, K: P24}}
  D2: {kind: schottky, pins: {A: LAMP_LOW, K: P24_LAMP}}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: LAMP_LOW, S: GND}, heatsink: true, bank: lamp switch}
  Q2: {kind: n-mosfet, pins: {G: GATE, D: LAMP_LOW, S: GND}, heatsink: true, bank: lamp switch}
  R1: {kind: resistor, ohms: 10k, pins: [GATE, GND]}
  R2: {kind: resistor, ohms: 47, pins: [GATE, DRIVE]}
  J3: {kind: connector, pins: {1: DRIVE, 2: GND}}
jumpers:
  W1: [P24, P24_LAMP]
`;
