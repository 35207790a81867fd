import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { cautionLines, viewCautions } from '../../src/report/cautions.ts';
import { NO_COLOUR } from '../../src/report/style.ts';

function cautionsOf(yaml: string): string {
  const { board } = loadBoard(yaml, 'board.yaml');
  return cautionLines(viewCautions(board), { width: 200, palette: NO_COLOUR }).join('\n');
}

const low = `board: Sensor hub
rails:
  logic: {plus: V5, minus: GND, volts: 5}
parts:
  C1: {kind: ceramic, farads: 10u, volts: 16, pins: [V5, GND]}
  J1: {kind: connector, pins: {1: V5, 2: GND}}
`;
const high = `board: Bulk supply
rails:
  bulk: {plus: HV, minus: PGND, volts: 325}
parts:
  C1: {kind: electrolytic, farads: 220u, volts: 400, pins: {plus: HV, minus: PGND}}
  J1: {kind: connector, pins: {1: HV, 2: PGND}}
`;

describe('cautions', () => {
  it('always put local codes and licensed practice first', () => {
    expect(cautionsOf(low).split('\n')[1]).toMatch(/Local codes and licensed practice come first/);
  });

  it('work out stored energy, a bleed resistor and the time it takes', () => {
    // ½·220 µF·(325 V)² = 11.6 J; 2.2 kΩ · 220 µF · ln 325 = 2.8 s
    expect(cautionsOf(high)).toMatch(
      /HV\/PGND: 220 µF at 325 V, 11.6 J; 2.2 kΩ \(48 W at first\) to 1 V in 3 s/,
    );
  });

  it('warn of mains where a rail, a net or a part suggests it, and only there', () => {
    expect(cautionsOf(high)).toMatch(/not alone; isolation transformer and current limit/);
    expect(cautionsOf(low)).not.toMatch(/isolation transformer/);
    const named = low.replaceAll('V5', 'AC_L');
    expect(cautionsOf(named)).toMatch(/isolation transformer/);
  });

  it('speak of static, fumes and hot parts on every board', () => {
    expect(cautionsOf(low)).toMatch(/wrist strap/);
    expect(cautionsOf(low)).toMatch(/Fumes/);
    expect(cautionsOf(low)).toMatch(/stay hot/);
  });
});
