// The sample that the tests replay without a simulator: golden.jsonl, one row a line.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Circuit } from '../../dist/circuit/circuit.js';
import { casesOf } from './cases.mjs';
import { deckOf } from './deck.mjs';
import { currentsOf, leadOhmsOf, shownBy } from './meter.mjs';
import { voltsOfDecks } from './simulator.mjs';

const FILE = fileURLToPath(new URL('./golden.jsonl', import.meta.url));
const SEED = 7;
/** Of each board, healthy and as many with faults. */
const PAIRS = 30;
const DIGITS = 7;

/**
 * Writes the sample: a line `{ from, leadOhms, drives }` about simulator and meter, then a row a line,
 * `[board, state, mode, red, black, kind, value, amps, lit]`, with names of nets, parts and pins;
 * `value` null when over; `lit` when a junction is within reach.
 */
export function writeGolden(boards, { leadOhms, drives }, from) {
  const rows = boards.flatMap((each) => boardRows(each, { leadOhms, drives }));
  const head = JSON.stringify({ from, leadOhms, drives }, infinityAsText);
  writeFileSync(FILE, `${[head, ...rows.map((row) => JSON.stringify(row))].join('\n')}\n`);
  console.log(`${rows.length} rows in ${FILE}`);
}

function infinityAsText(_, value) {
  return value === Number.POSITIVE_INFINITY ? 'Infinity' : value;
}

function boardRows({ name, board }, meter) {
  const cases = casesOf(new Circuit(board), PAIRS, SEED).map((each) => ({
    ...each,
    deck: deckOf(each.sight, name, true),
  }));
  const joined = cases.filter(({ deck }) => deck !== undefined);
  const currents = currentsOf(meter.drives);
  const folder = mkdtempSync(join(tmpdir(), 'oracle-'));
  const found = voltsOfDecks(
    joined.map(({ deck }) => ({ deck, currents })),
    folder,
  );
  rmSync(folder, { recursive: true, force: true });
  return cases.flatMap((each) => {
    const volts = found[joined.indexOf(each)];
    const voltsAt = (amps) =>
      volts === undefined ? Number.POSITIVE_INFINITY : (volts.get(amps) ?? Number.NaN);
    const lit = each.deck?.lit ?? false;
    const state = namedState(board, each.state);
    const { red, black } = each.sight;
    const nets = [board.nets[red].name, board.nets[black].name];
    return Object.entries(meter.drives).flatMap(([mode, drive]) => {
      const { kind, value, amps } = shownBy(mode, drive, leadOhmsOf(meter, mode), voltsAt);
      // Edges of ranges are for the live comparison, which knows what lies on either side.
      if (Number.isNaN(value) || isNearEdge(mode, drive, leadOhmsOf(meter, mode), voltsAt))
        return [];
      const rounded = kind === 'over' ? null : Number(value.toPrecision(DIGITS));
      return [[name, state, mode, ...nets, kind, rounded, amps, lit]];
    });
  });
}

function isNearEdge(mode, drive, leadOhms, voltsAt) {
  const [wide, narrow] = [0.05, -0.05].map((slack) =>
    shownBy(mode, drive, leadOhms, voltsAt, slack),
  );
  return wide.kind !== narrow.kind || wide.amps !== narrow.amps;
}

/** The state with names for numbers; what is empty is left out. */
function namedState(board, { off, lifted, openParts, openPins, added, junctions }) {
  const part = (index) => board.parts[index].name;
  const pin = (index) => `${part(board.pins[index].part)}.${board.pins[index].name}`;
  const net = (index) => board.nets[index].name;
  const all = {
    off: off.map(part),
    lifted: lifted.map(pin),
    openParts: openParts.map(part),
    openPins: openPins.map(pin),
    added: added.map(({ a, b, ohms }) => [net(a), net(b), Number(ohms.toPrecision(12))]),
    junctions: junctions.map(({ netA, netK, volts, slope }) => [
      net(netA),
      net(netK),
      volts,
      slope,
    ]),
  };
  return Object.fromEntries(Object.entries(all).filter(([, list]) => list.length > 0));
}
