// Small shorted boards, few enough in fault sets that the best possible expected bench time can be
// worked out.
import { loadBoard } from '../../dist/board/load.js';
import { netOf } from '../../dist/circuit/circuit.js';
import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import { analyse, openWorkbench } from '../../dist/steps/advise.js';
import { DEFAULT_BENCH_TIMES } from '../../dist/steps/bench-times.js';

/** Readings that are never wrong, nothing but listed parts to blame, seldom more than one of them. */
const SURE = {
  expectedFaults: 0.02,
  slipRatio: 1e-5,
  stubbornRatio: 1e-7,
  linkChance: 1e-9,
  copperChance: 1e-9,
  jointFit: 1e-6,
  newPieceRatio: 1e-6,
};
/** Looks and readings in ohms on the board are priced out: what they tell is no yes or no. */
const BEEPS_ONLY = {
  ...DEFAULT_BENCH_TIMES,
  look: 1e6,
  reading: { ...DEFAULT_BENCH_TIMES.reading, ohms: 1e6 },
};
const MOST_SETS = 10;
const MOST_PARTS = 7;
const LEAST_WEIGHT = 0.004;
/** The sets taken up must hold this share of the weight. */
const LEAST_SHARE = 0.97;

/** Nets in a row, joined by links and low ohms, and parts from them to ground that may short. */
export function smallBoard(next) {
  const pick = (list) => list[Math.floor(next() * list.length)];
  const nets = 2 + Math.floor(next() * 3);
  const rails = ['  first: {plus: N0, minus: GND}'];
  const lines = [];
  for (let net = 1; net < nets; net++) {
    const pins = `[N${Math.floor(next() * net)}, N${net}]`;
    lines.push(
      pick([
        `{kind: jumper, pins: ${pins}}`,
        `{kind: jumper, pins: ${pins}}`,
        `{kind: fuse, pins: ${pins}}`,
        `{kind: inductor, pins: ${pins}}`,
        `{kind: resistor, ohms: ${pick(['0.1', '2', '10'])}, package: '1206', pins: ${pins}}`,
      ]),
    );
  }
  const loads = 2 + Math.floor(next() * 4);
  for (let k = 0; k < loads; k++) {
    const net = `N${Math.floor(next() * nets)}`;
    lines.push(
      pick([
        `{kind: ceramic, farads: 10u, package: '1206', pins: [${net}, GND]}`,
        `{kind: tantalum, farads: 47u, package: '2312', pins: {plus: ${net}, minus: GND}}`,
        `{kind: electrolytic, farads: 470u, package: radial, pins: {plus: ${net}, minus: GND}}`,
        `{kind: two-way-suppressor, volts: 30, package: SMB, pins: [${net}, GND]}`,
        `{kind: varistor, volts: 30, package: disc, pins: [${net}, GND]}`,
      ]),
    );
  }
  const parts = lines.map((line, k) => `  P${k + 1}: ${line}`);
  const text = ['board: small case', 'rails:', ...rails, 'parts:', ...parts, ''].join('\n');
  return loadBoard(text, 'small.yaml').board;
}

/**
 * The board with its rail heard to beep, as fault sets with weights that sum to 1.
 * @returns undefined where there is nothing to choose, or too much to go through
 */
/** @param fitUnreadWeight above which the tool fits a new part without a reading with the old one off */
export function openCase(board, fitUnreadWeight) {
  const workbench = openWorkbench(board, {
    faults: SURE,
    steps: { times: BEEPS_ONLY, fitUnreadWeight },
  });
  const { plus, minus } = board.rails[0];
  const rail = { mode: 'continuity', red: { net: plus }, black: { net: minus } };
  const start = withReading(NO_EVIDENCE, rail, { kind: 'beep' });
  const { hypotheses, beliefs } = analyse(workbench, start);
  const { faults } = beliefs.problem.universe;
  const all = hypotheses.flatMap(({ weight, accused }) =>
    singled(accused.map((id) => faults[id])).map(({ share, failed }) => {
      return { weight: weight * share, failed };
    }),
  );
  const sets = all.filter(({ weight }) => weight >= LEAST_WEIGHT);
  const share = sets.reduce((sum, { weight }) => sum + weight, 0);
  if (share < LEAST_SHARE || sets.length < 2 || sets.length > MOST_SETS) return undefined;
  if (sets.some(({ failed }) => failed.length === 0)) return undefined;
  if (board.parts.length > MOST_PARTS) return undefined;
  const parts = board.parts.map(({ index }) => index);
  const scaled = sets.map(({ weight, failed }) => ({ weight: weight / share, failed }));
  return { board, workbench, start, rail, parts, sets: scaled };
}

/** A set of faults, some of which may mean one of several parts, as sets that each name their parts. */
function singled(faults) {
  let sets = [{ share: 1, failed: [] }];
  for (const { members, mode } of faults) {
    const total = members.reduce((sum, { chance }) => sum + chance[0], 0);
    sets = sets.flatMap(({ share, failed }) =>
      members.map(({ part, chance }) => ({
        share: (share * chance[0]) / total,
        failed: [...failed, { part, mode }],
      })),
    );
  }
  return sets;
}

/** Ω between two nets with some parts failed, by the circuit alone. */
export function trueOhms({ board, workbench }, failed, state, a, b) {
  const { circuit } = workbench.bench;
  const here = failed
    .filter(({ part }) => (state.piece.get(part) ?? 0) === 0 && !state.off.has(part))
    .map(({ part, mode }) => {
      return { part, mode: circuit.models[part].modes.find(({ name }) => name === mode) };
    });
  const opens = {
    parts: new Set(here.filter(({ mode }) => mode.opens).map(({ part }) => part)),
    pins: new Set(),
  };
  const added = here.flatMap(({ mode }) =>
    mode.joins
      .filter((join) => !state.lifted.has(join.a) && !state.lifted.has(join.b))
      .map((join) => ({ a: netOf(board, join.a), b: netOf(board, join.b), ohms: join.ohms })),
  );
  return circuit.view(state, opens).network.solve(a, b, added).ohms;
}

/** Ω between the legs of a part of two that lies beside the board. */
export function legOhms({ workbench }, failed, part) {
  const { healthy, modes } = workbench.bench.circuit.models[part];
  const own = failed.find((fault) => fault.part === part);
  if (own === undefined) return healthy[0]?.ohms ?? Number.POSITIVE_INFINITY;
  return modes.find(({ name }) => name === own.mode).joins[0]?.ohms ?? Number.POSITIVE_INFINITY;
}

/** What a meter without errors shows. */
export function trueValue(one, failed, state, { mode, red, black, offPart }) {
  const { meter } = one.workbench.bench;
  const ohms =
    offPart === undefined
      ? trueOhms(one, failed, state, red.net, black.net)
      : legOhms(one, failed, offPart);
  if (mode === 'continuity') return { kind: ohms < meter.beepOhms ? 'beep' : 'quiet' };
  if (ohms > meter.rangeOhms) return { kind: 'over' };
  return { kind: 'ohms', ohms: Number(ohms.toPrecision(4)) };
}

export function withReading(evidence, probe, value) {
  const { readings, lastChange, state } = evidence;
  const id = Math.max(lastChange, readings.at(-1)?.id ?? 0) + 1;
  return { ...evidence, readings: [...readings, { ...probe, value, id, state }] };
}
