// What the engine says of a rail after so many readings of its copper, and whole jobs on it.

import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import {
  advise,
  analyse,
  COMMON_HANDHELD,
  openWorkbench,
  SimulatedBench,
} from '../../dist/index.js';
import { copperSteps } from '../../dist/steps/copper/copper-steps.js';
import { Foresight } from '../../dist/steps/foresight.js';
import { copperCase } from './copper-case.mjs';
import { MILLIOHM_METER, onCopper } from './copper-meter.mjs';
import { dice } from './dice.mjs';
import { playJob } from './play.mjs';

export const COUNTS = [4, 8, 12, 16];
/** Suspects whose weights are kept. */
const KEPT = 10;
/** Readings of another sort that the engine may ask for along the way. */
const MOST_OTHER = 20;

/**
 * Reads copper until the last of `counts`: which pads, the engine says (`tool`), or the benchmark
 * (`spread`: far from those before; `random`). No part is touched, also where the engine would rather take
 * one off by then (`stopped`): it says which pads would tell most all the same.
 * @returns for every count the place of each true part among the suspects, and the weights said
 */
export function standing(options) {
  const { seed, size, chooser, counts = COUNTS } = options;
  const job = openCase(options, { meter: MILLIOHM_METER });
  const { workbench, bench, shorts, placement } = job;
  const next = dice(seed * 131 + size + 1);
  const choose =
    chooser === 'tool'
      ? (analysis) => toolReading(analysis) ?? copperAnyway(analysis)
      : padsOf(job, chooser, next);
  const said = [];
  let evidence = withReading(NO_EVIDENCE, { mode: 'continuity', ...job.rail }, bench);
  let [copper, other, slowestMs] = [0, 0, 0];
  let analysis;
  for (;;) {
    const start = performance.now();
    analysis = analyse(workbench, evidence);
    if (counts.includes(copper) && said.at(-1)?.after !== copper) {
      const stopped = chooser === 'tool' && toolReading(analysis) === undefined;
      said.push({
        after: copper,
        ...placesIn(analysis, shorts, next),
        ...(stopped && { stopped }),
      });
    }
    if (copper === counts.at(-1)) break;
    const probe = choose(analysis, copper);
    slowestMs = Math.max(slowestMs, performance.now() - start);
    if (probe === undefined || other > MOST_OTHER) break;
    if (isCopper(probe)) copper++;
    else other++;
    evidence = withReading(evidence, probe, bench);
  }
  // What is said once no pads are left that would tell anything stays what it says.
  const last = { ...placesIn(analysis, shorts, next), stopped: true };
  for (const after of counts) if (after > copper) said.push({ after, ...last });
  return { placement, said, copper, other, slowestMs };
}

/** A whole job, by the tool with a four-wire meter or by a rule without one. */
export function wholeJob(options) {
  const { seed, rule, slipRatio } = options;
  const meter = rule === 'tool' ? MILLIOHM_METER : COMMON_HANDHELD;
  const job = openCase(options, { meter });
  let copper = 0;
  const watch = (_, { step }) => {
    if (step.kind === 'read' && isCopper(step.probe)) copper++;
  };
  const plain = rule === 'plain tool' ? 'tool' : rule;
  const { bench } = job;
  const result = playJob(job.workbench, { seed, slipRatio, rule: plain, bench, watch });
  return { placement: job.placement, ...result, copper };
}

export function openCase({ seed, slipRatio = 0, ...which }, { meter }) {
  const { board, truth, shorts, placement } = copperCase({ seed, ...which });
  const these = shorts.map(({ part, ohms }) => ({
    part: board.parts[part].name,
    mode: 'short',
    ohms,
  }));
  const inner = new SimulatedBench(board, { seed, faults: 0, these, meter });
  const [{ plus, minus }] = board.rails;
  return {
    workbench: openWorkbench(board, { meter }),
    bench: onCopper(inner, { truth, seed, slipRatio }),
    rail: { red: { net: plus }, black: { net: minus } },
    shorts,
    placement,
    size: which.size,
  };
}

function isCopper({ mode, offPart }) {
  return (mode === 'four-wire' || mode === 'millivolts') && offPart === undefined;
}

export function withReading(evidence, probe, bench) {
  const { readings, state } = evidence;
  const value = bench.answer(probe, state);
  return {
    ...evidence,
    readings: [...readings, { ...probe, value, id: readings.length + 1, state }],
  };
}

/** The reading advised, or of what is advised next best the first that is one of copper. */
export function toolReading(analysis, { step, others } = advise(analysis)) {
  if (step.kind === 'read' && step.purpose !== 'prove') return step.probe;
  const rest = others.map((one) => one.step).filter(({ kind }) => kind === 'read');
  return rest.map(({ probe }) => probe).find(isCopper);
}

/** The pads that would tell most along the copper, whatever else would pay better. */
function copperAnyway(analysis) {
  const scored = copperSteps(analysis, new Foresight(analysis));
  return scored.sort((x, y) => x.whole - y.whole)[0]?.candidate.probe;
}

/** Readings across a part's own pads: parts far from those read before, or any. */
export function padsOf({ workbench: { board }, size }, chooser, next) {
  const left = board.parts.slice(0, size);
  const read = [];
  const far = ({ at }) =>
    Math.min(...read.map((one) => Math.hypot(one.at[0] - at[0], one.at[1] - at[1])), 1e9);
  return () => {
    if (left.length === 0) return undefined;
    let at = Math.floor(next() * left.length);
    if (chooser === 'spread' && read.length > 0) {
      at = left.reduce((best, part, k) => (far(part) > far(left[best]) ? k : best), 0);
    }
    const [part] = left.splice(at, 1);
    read.push(part);
    const [red, black] = part.pins.map((pin) => ({ net: board.pins[pin].net, pin }));
    return { mode: 'four-wire', red, black };
  };
}

/** Suspects with equal weight are taken in any order. */
function placesIn({ diagnosis }, shorts, next) {
  const ranked = diagnosis.suspects
    .map(({ part, weight }) => ({ part, weight, draw: next() }))
    .sort((x, y) => y.weight - x.weight || x.draw - y.draw);
  const places = shorts.map(({ part }) => {
    const at = ranked.findIndex((one) => one.part === part);
    return at < 0 ? ranked.length + 1 : at + 1;
  });
  const weights = ranked.slice(0, KEPT).map(({ weight }) => Number(weight.toFixed(4)));
  return { places, weights, parts: ranked.slice(0, 5).map(({ part }) => part) };
}
