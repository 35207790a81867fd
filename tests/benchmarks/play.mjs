// Plays one job on a simulated bench to its end, with the tool's own next step or a simpler rule.

import { readFileSync } from 'node:fs';
import { SimulatedBench } from '../../dist/bench/simulated-bench.js';
import { reach } from '../../dist/circuit/conduction.js';
import {
  netPairKey,
  withLifted,
  withOff,
  withRefitted,
  withReflowed,
  withReplaced,
} from '../../dist/circuit/state.js';
import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import {
  advise,
  analyse,
  healthyBoard,
  isHealthyBeep,
  openWorkbench,
} from '../../dist/steps/advise.js';
import { Foresight } from '../../dist/steps/foresight.js';
import { proofOf } from '../../dist/steps/proof.js';
import { readingMinutes } from '../../dist/steps/reach.js';
import { PlainList } from './plain-list.mjs';

const MOST_STEPS = 1000;

export function openBoard(board, options) {
  return openWorkbench(board, options);
}

/**
 * @param rule `tool`, `likely` (parts in likelihood order), `halving` (the conducting path) or `pulling`
 *   (everything that beeps); with `listed ` before it, the rule reads a plain list in place of the tool's
 *   survey: see `plain-list.mjs`
 * @param hasLoads ICs conduct what the engine is not told
 * @param bench answers in place of a simulated bench made of the seed, the faults and the slips
 * @param watch is shown every analysis and the step chosen
 * @param took is told how long weighing and choosing took, see `timeNow`, and what went before
 */
export function playJob(
  workbench,
  {
    seed,
    faults,
    slipRatio = 0,
    rule = 'tool',
    these,
    isFaithful,
    hasLoads = false,
    bench: instead,
    watch,
    took,
    mostSteps = MOST_STEPS,
  },
) {
  const { board } = workbench;
  const { meter } = workbench.bench;
  const hidden = {
    faults,
    slipRatio,
    meter,
    hasLoads,
    ...(these && { these }),
    ...(isFaithful && { isFaithful }),
  };
  const bench = instead ?? new SimulatedBench(board, { seed, ...hidden });
  const job = { evidence: NO_EVIDENCE, id: 0 };
  const tally = {
    clear: false,
    steps: 0,
    minutes: 0,
    survey: 0,
    isolate: 0,
    repeat: 0,
    prove: 0,
    readings: 0,
    lifts: 0,
    pulls: 0,
    slowestMs: 0,
  };
  const pulled = new Set();
  const [guess, list] = rule.startsWith('listed ')
    ? [rule.slice('listed '.length), new PlainList(workbench)]
    : [rule];
  for (; tally.steps < mostSteps; tally.steps++) {
    const start = performance.now();
    const begun = timeNow();
    const analysis = analyse(workbench, job.evidence);
    const weighed = timeNow();
    const guessed = withMates(analysis, choose(analysis, advise(analysis), guess), guess);
    const advice = list === undefined ? guessed : list.instead(analysis, guessed);
    const chosen = timeNow();
    took?.({
      weighing: between(begun, weighed),
      choosing: between(weighed, chosen),
      after: lastOf(job.evidence),
    });
    watch?.(analysis, advice, bench);
    tally.slowestMs = Math.max(tally.slowestMs, performance.now() - start);
    if (advice.step.kind === 'done') {
      tally.clear = advice.phase === 'clear';
      break;
    }
    tally.minutes += advice.minutes;
    if (advice.step.kind === 'read') tally[advice.step.purpose] += advice.minutes;
    act(board, bench, job, advice.step, tally, pulled);
  }
  const { piece } = job.evidence.state;
  const faulty = bench.faultyParts;
  const missed = [...faulty].filter((part) => (piece.get(part) ?? 0) === 0);
  const banks = new Set(
    [...faulty].map((part) => board.parts[part].bank).filter((b) => b !== undefined),
  );
  const healthy = [...pulled].filter((part) => !faulty.has(part));
  return {
    ...tally,
    faults: faulty.size,
    knowing: knowingMinutes(workbench, faulty),
    missed: missed.length,
    healthyPulled: healthy.length,
    healthyOutsideBanks: healthy.filter((part) => !banks.has(board.parts[part].bank)).length,
  };
}

/**
 * Milliseconds of this process so far: `processor`, its helper threads among them, which collect garbage and
 * compile; and `waited`, those of the main thread, which is what somebody waits for where nothing else runs
 * (where the system does not tell, the time that has gone by).
 */
export function timeNow() {
  const { user, system } = process.cpuUsage();
  return { processor: (user + system) / 1000, waited: mainThreadMs() };
}

function mainThreadMs() {
  try {
    return Number(readFileSync('/proc/self/schedstat', 'utf8').split(' ')[0]) / 1e6;
  } catch {
    return performance.now();
  }
}

export function between(start, end) {
  return { processor: end.processor - start.processor, waited: end.waited - start.waited };
}

/** What was recorded last: a change of the board, with the reading that went with it, or a plain reading. */
function lastOf({ readings, state }) {
  const [before, last] = [readings.at(-2), readings.at(-1)];
  if (last === undefined) return 'nothing';
  if (last.state !== state || (before !== undefined && before.state !== state)) return 'change';
  return last.value.kind === 'quiet' || last.value.kind === 'over' ? 'quiet' : 'joined';
}

/** A simple rule takes over wherever something sounds that should not and fault sets are told apart. */
function choose(analysis, advice, rule) {
  const guesses =
    advice.phase === 'isolate' || (advice.phase === 'repair' && advice.step.kind === 'remove');
  if (rule === 'tool' || !guesses) return advice;
  const asked = soundingPair(analysis);
  if (asked === undefined) return advice;
  return simpleStep(analysis, asked, rule) ?? advice;
}

function simpleStep(analysis, asked, rule) {
  if (rule === 'likely') return likeliestPart(analysis, asked);
  return rule === 'halving' ? halving(analysis) : anyThatBeeps(analysis, asked);
}

/**
 * A simple rule takes parts out one at a time; the shop's policy holds for it all the same: what
 * shares a bank with a failed part is renewed with it.
 */
function withMates({ workbench, evidence }, advice, rule) {
  const { board, clock, steps } = workbench;
  const { step } = advice;
  if (rule === 'tool' || step.kind !== 'replace' || !steps.replaceBanksAsSets) return advice;
  const banks = new Set(step.parts.map((part) => board.parts[part].bank));
  const { off, piece } = evidence.state;
  const mates = board.parts
    .filter(({ index, bank }) => bank !== undefined && banks.has(bank) && !off.has(index))
    .map(({ index }) => index)
    .filter((part) => (piece.get(part) ?? 0) === 0);
  const minutes = advice.minutes + clock.replace(mates, evidence.state);
  return { ...advice, minutes, step: { ...step, parts: [...step.parts, ...mates] } };
}

/** The pair last heard to beep that a healthy board would not, if nothing has silenced it since. */
function soundingPair({ workbench, beliefs }) {
  const { observations } = beliefs.problem;
  for (const { a, b, entries } of [...observations].reverse()) {
    const probe = { mode: 'continuity', red: { net: a }, black: { net: b } };
    if (isHealthyBeep(workbench, probe)) continue;
    const { kind } = entries[entries.length - 1].value;
    if (kind === 'beep') return probe;
    if (kind === 'quiet') return undefined;
  }
  return undefined;
}

/** The suspect that fails most often, whatever the readings say of it in particular. */
function likeliestPart({ workbench, diagnosis, evidence }, then) {
  const prior = (part) => workbench.bench.priors.modes[part].reduce((a, b) => a + b, 0);
  const best = diagnosis.suspects
    .map((suspect) => suspect.part)
    .filter((part) => !evidence.state.off.has(part))
    .sort((x, y) => prior(y) - prior(x) || x - y)[0];
  if (best === undefined) return undefined;
  const minutes = workbench.clock.remove([best], evidence.state) + workbench.clock.read(then);
  return { phase: 'isolate', step: { kind: 'remove', parts: [best], then }, minutes };
}

/** The next part, in the order of the board file, across whose own pads the beeper would sound. */
function anyThatBeeps({ workbench, beliefs, evidence }, then) {
  const { circuit } = beliefs.problem;
  const { meter } = workbench.bench;
  const view = circuit.view(evidence.state);
  const side = ({ net }) => reach(view, [], net, meter.beepOhms);
  const [red, black] = [side(then.red), side(then.black)];
  const { off, piece } = evidence.state;
  const next = workbench.board.parts.find(({ index, pins }) => {
    if (off.has(index) || (piece.get(index) ?? 0) > 0) return false;
    if (!circuit.models[index].modes.some(({ joins }) => joins.length > 0)) return false;
    const nets = pins.map((pin) => workbench.board.pins[pin].net);
    return nets.some((net) => red.has(net)) && nets.some((net) => black.has(net));
  });
  if (next === undefined) return undefined;
  const minutes = workbench.clock.remove([next.index], evidence.state) + workbench.clock.read(then);
  return { phase: 'isolate', step: { kind: 'remove', parts: [next.index], then }, minutes };
}

/** Minutes of someone who knows the faults: renews what the policy asks for, and proves the board. */
function knowingMinutes(workbench, faulty) {
  const { board, clock, steps } = workbench;
  const banks = new Set(
    steps.replaceBanksAsSets ? [...faulty].map((p) => board.parts[p].bank) : [],
  );
  const parts = board.parts
    .filter(({ index, bank }) => faulty.has(index) || (bank !== undefined && banks.has(bank)))
    .map(({ index }) => index);
  const state = parts.reduce(
    (now, part) => withReplaced(now, part, board.parts[part].pins),
    NO_EVIDENCE.state,
  );
  const replacedAt = new Map(parts.map((part) => [part, 1]));
  const evidence = { ...NO_EVIDENCE, state, lastChange: 1, replacedAt };
  const proof = proofOf(board, evidence, healthyBoard(workbench));
  const read = proof.flatMap(({ missing }) => missing);
  const pairs = new Map(
    read.map((probe) => [`${probe.mode} ${netPairKey(probe.red.net, probe.black.net)}`, probe]),
  );
  const readings = [];
  return [...pairs.values()].reduce(
    (sum, probe) => {
      const minutes = readingMinutes(clock, { readings, lastChange: 0 }, probe);
      readings.push({ ...probe, id: readings.length });
      return sum + minutes;
    },
    clock.replace(parts, NO_EVIDENCE.state),
  );
}

/** The lift that cuts what may conduct most nearly in half, whatever it costs. */
function halving(analysis) {
  const { candidates, forecaster } = new Foresight(analysis);
  const lifts = candidates.lifts();
  const scored = lifts
    .map((candidate) => {
      const { answers } = forecaster.outlook(candidate.probe, candidate.state, candidate.parts);
      return { candidate, off: Math.abs(answers[0].chance - 0.5) };
    })
    .filter(({ off }) => off < 0.499)
    .sort((x, y) => x.off - y.off)[0];
  if (scored === undefined) return undefined;
  const { step, minutes } = scored.candidate;
  return { phase: 'isolate', step, minutes };
}

function act(board, bench, job, step, tally, pulled) {
  const { state } = job.evidence;
  const change = (next) => {
    job.evidence = { ...job.evidence, state: next, lastChange: ++job.id };
  };
  const read = (probe) => {
    tally.readings++;
    const now = job.evidence.state;
    const reading = { ...probe, value: bench.answer(probe, now), id: ++job.id, state: now };
    job.evidence = { ...job.evidence, readings: [...job.evidence.readings, reading] };
  };
  const each = (parts, how) =>
    parts.reduce((now, part) => how(now, part, board.parts[part].pins), state);
  switch (step.kind) {
    case 'read':
      read(step.probe);
      break;
    case 'lift':
      tally.lifts++;
      change(withLifted(state, step.pins));
      read(step.then);
      break;
    case 'remove':
      tally.pulls += step.parts.length;
      for (const part of step.parts) pulled.add(part);
      change(withOff(state, step.parts));
      if (step.then !== undefined) read(step.then);
      break;
    case 'refit':
      change(each(step.parts, withRefitted));
      break;
    case 'replace': {
      const inPlace = step.parts.filter((part) => !state.off.has(part)); // out and in again in one go
      tally.pulls += inPlace.length;
      for (const part of inPlace) pulled.add(part);
      change(each(step.parts, withReplaced));
      const replacedAt = new Map(job.evidence.replacedAt);
      for (const part of step.parts) replacedAt.set(part, job.id);
      job.evidence = { ...job.evidence, replacedAt };
      break;
    }
    case 'reflow':
      change(withReflowed(state, step.pins));
      break;
    case 'look': {
      const finding = step.pin === undefined ? bench.look(step.part, state) : 'looks sound';
      const look = { id: ++job.id, part: step.part, pin: step.pin, finding, state };
      job.evidence = { ...job.evidence, looks: [...job.evidence.looks, look] };
      break;
    }
    case 'inspect': {
      const look = { id: ++job.id, nets: step.nets, finding: 'looks sound', state };
      job.evidence = { ...job.evidence, looks: [...job.evidence.looks, look] };
      break;
    }
    default:
      throw new Error(`no way to do ${step.kind}`);
  }
}
