import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { withJunctions } from '../../src/circuit/lit.ts';
import { COMMON_HANDHELD, type Drive, type Meter } from '../../src/circuit/meter.ts';
import type { MeterMode } from '../../src/circuit/reading.ts';
import { type Shown, shownOn } from '../../src/circuit/shown.ts';
import type { Sight } from '../../src/circuit/sight.ts';
import { AS_FOUND, withLifted, withOff } from '../../src/circuit/state.ts';
import { sameShown, toleranceOf } from '../oracle/agree.mjs';

/** What is wrong with the board, by names; absent lists are empty. */
interface NamedState {
  readonly off?: readonly string[];
  readonly lifted?: readonly string[];
  readonly openParts?: readonly string[];
  readonly openPins?: readonly string[];
  readonly added?: readonly (readonly [string, string, number])[];
  /** Anode, cathode, V at 1 mA, slope. */
  readonly junctions?: readonly (readonly [string, string, number, number])[];
}

/** Board, state, mode, red, black; what the simulator's meter shows; whether a junction is within reach. */
type Row = readonly [
  string,
  NamedState,
  MeterMode,
  string,
  string,
  Shown['kind'],
  number | null,
  number,
  boolean,
];

interface Head {
  readonly leadOhms: number;
  readonly drives: Record<MeterMode, Drive>;
}

const file = new URL('../oracle/golden.jsonl', import.meta.url);
const [first = '', ...lines] = readFileSync(file, 'utf8').trimEnd().split('\n');
const head: Head = JSON.parse(first, (_, value) =>
  value === 'Infinity' ? Number.POSITIVE_INFINITY : value,
);
const rows: readonly Row[] = lines.map((line) => JSON.parse(line));
const meter: Meter = { ...COMMON_HANDHELD, leadOhms: head.leadOhms, drives: head.drives };
const circuits = new Map<string, Circuit>();

function circuitOf(board: string): Circuit {
  let circuit = circuits.get(board);
  if (circuit === undefined) {
    const file = new URL(`../../boards/${board}.yaml`, import.meta.url);
    circuit = new Circuit(loadBoard(readFileSync(file, 'utf8'), board).board);
    circuits.set(board, circuit);
  }
  return circuit;
}

function sightOf([name, state, , red, black]: Row): Sight {
  const circuit = circuitOf(name);
  const { board } = circuit;
  const net = (text: string): number => board.netNamed.get(text)?.index ?? -1;
  const part = (text: string): number => board.partNamed.get(text)?.index ?? -1;
  const pin = (text: string): number =>
    board.pins.findIndex((each) => `${board.parts[each.part]?.name}.${each.name}` === text);
  const lifted = withLifted(AS_FOUND, (state.lifted ?? []).map(pin));
  const view = circuit.view(withOff(lifted, (state.off ?? []).map(part)), {
    parts: new Set((state.openParts ?? []).map(part)),
    pins: new Set((state.openPins ?? []).map(pin)),
  });
  const added = (state.added ?? []).map(([a, b, ohms]) => ({ a: net(a), b: net(b), ohms }));
  const junctions = (state.junctions ?? []).map(([a, k, volts, slope]) => {
    return { netA: net(a), netK: net(k), volts, slope };
  });
  const lit = withJunctions(view.network, () => [...view.junctions, ...junctions]);
  return { view: lit, added, red: net(red), black: net(black) };
}

function said({ kind, value, amps }: Shown): string {
  return kind === 'over' ? 'over' : `${value} ${kind} at ${amps} A`;
}

const modes = Object.keys(head.drives) as MeterMode[];
const boards = [...new Set(rows.map(([board]) => board))];

// Written by `npm run oracle -- --golden`; to be written anew when a ready board, a kind or the
// handheld's figures change, after the live comparison has passed.
describe.each(boards)('%s reads as an independent circuit simulator says', (board) => {
  it.each(modes)('in %s', (mode) => {
    const those = rows.filter((row) => row[0] === board && row[2] === mode);
    expect(those.length).toBeGreaterThan(5);
    const apart = those.flatMap((row) => {
      const [, state, , red, black, kind, value, amps, lit] = row;
      const expected: Shown = { kind, value: value ?? Number.POSITIVE_INFINITY, amps };
      const shown = shownOn(meter, mode, sightOf(row));
      return sameShown(expected, shown, toleranceOf(mode, lit))
        ? []
        : [`${red} ${black} ${JSON.stringify(state)}: ${said(expected)}, shown ${said(shown)}`];
    });
    expect(apart).toEqual([]);
  });
});
