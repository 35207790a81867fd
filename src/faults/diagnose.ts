import type { Circuit } from '../circuit/circuit.ts';
import { CopperMap } from '../circuit/copper/copper-map.ts';
import type { Meter } from '../circuit/meter.ts';
import { askedParts } from './asked-parts.ts';
import { type Beliefs, believe } from './beliefs.ts';
import { contradictionWeight, doubtfulReadings, wrongIn, wrongSets } from './contradictions.ts';
import { copperFitOf } from './copper/copper-fit.ts';
import { partReadings, partsAcross } from './copper/copper-readings.ts';
import type { Cleared, Diagnosis, FaultName, FaultSet, Suspect } from './diagnosis.ts';
import type { Evidence } from './evidence.ts';
import { concernsPresentPiece, type Fault } from './fault.ts';
import { GoodBoard, type GoodReading } from './good-board.ts';
import { observationsOf } from './observation.ts';
import { Outcomes } from './outcomes.ts';
import { type Priors, priorsOf } from './priors.ts';
import type { FaultSettings } from './settings.ts';
import { allOf, type Sliced } from './sliced.ts';
import { livingReadings } from './spent.ts';
import { Universes } from './universe.ts';

/** What stays the same for a board while readings come in. */
export interface Bench {
  readonly circuit: Circuit;
  readonly priors: Priors;
  readonly meter: Meter;
  readonly settings: FaultSettings;
  readonly universes: Universes;
  readonly outcomes: Outcomes;
  readonly copper: CopperMap;
  /** What a good board of the same kind read. */
  readonly good: GoodBoard;
}

/** @param readings of a good board of the same kind */
export function benchFor(
  circuit: Circuit,
  meter: Meter,
  settings: FaultSettings,
  readings: readonly GoodReading[] = [],
): Bench {
  const priors = priorsOf(circuit, settings);
  const universes = new Universes(circuit, priors, settings, meter);
  const copper = new CopperMap(circuit);
  const good = new GoodBoard(circuit, meter, readings);
  return { circuit, priors, meter, settings, universes, outcomes: new Outcomes(), copper, good };
}

/** Weighs everything that could be wrong with the board, given all that is known. */
export function weigh(bench: Bench, evidence: Evidence): Beliefs {
  return allOf(weighing(bench, evidence));
}

/** The same in slices. */
export function* weighing(bench: Bench, evidence: Evidence): Sliced<Beliefs> {
  const { circuit, meter, settings, outcomes } = bench;
  const { groups, rest } = partReadings(bench.copper, livingReadings(evidence));
  const living: Evidence = { ...evidence, readings: rest };
  const asked = askedParts(circuit, living.readings);
  const observations = observationsOf(living.readings, meter, settings, asked, (reading) =>
    bench.good.of(reading),
  );
  const faults = yield* bench.universes.listing(living, asked, partsAcross(circuit.board, groups));
  const copper =
    groups.length === 0
      ? {}
      : { copper: copperFitOf(circuit.board, faults.universe.faults, groups, meter, settings) };
  return yield* believe({
    circuit,
    ...faults,
    observations,
    outcomes,
    numbers: outcomes.number(observations),
    meter,
    settings,
    ...copper,
  });
}

/** Fault sets shown to a person: as many as hold this share of the weight, within reason. */
const SHOWN_SHARE = 0.995;
const MOST_SETS = 200;
/** A part is a suspect from this weight on. */
const SUSPECT_WEIGHT = 0.01;
/** A part counts as cleared when its weight fell to this share of what it was before any reading. */
const CLEARED_RATIO = 0.1;

/** Beliefs as a person reads them: fault sets, suspects, cleared parts, doubtful readings. */
export function diagnosisOf(bench: Bench, evidence: Evidence, beliefs: Beliefs): Diagnosis {
  const byPart = partWeights(beliefs, evidence);
  return {
    sets: faultSets(beliefs),
    suspects: suspects(beliefs, byPart, evidence),
    cleared: clearedParts(bench, beliefs, evidence),
    doubtful: doubtfulReadings(beliefs),
    wrongSets: wrongSets(beliefs),
    contradictory: contradictionWeight(beliefs) > 0.5,
    missingLinks: missingLinks(beliefs, evidence),
    leftOut: beliefs.leftOut,
    faultWeight: faultWeight(beliefs, evidence),
    expanded: Math.round(beliefs.expanded),
  };
}

export function nameFault(fault: Fault): FaultName {
  const name = { what: fault.what, parts: fault.members.map((m) => m.part), mode: fault.mode };
  return {
    ...name,
    ...(fault.pin >= 0 ? { pin: fault.pin } : {}),
    ...(fault.nets !== undefined ? { nets: fault.nets } : {}),
  };
}

/** Explanations that differ only in levels of resistance read alike to a person and are joined. */
function faultSets(beliefs: Beliefs): FaultSet[] {
  const joined = new Map<
    string,
    { faults: FaultName[]; weight: number; wrongReadings: number[] }
  >();
  for (const explanation of beliefs.explanations) {
    const faults = explanation.accused.map((id) =>
      nameFault(beliefs.problem.universe.faults[id] as Fault),
    );
    const wrong = wrongIn(explanation);
    const key = `${faults.map(faultKey).sort().join('+')}|${wrong.join(',')}`;
    const held = joined.get(key);
    if (held === undefined)
      joined.set(key, { faults, weight: explanation.weight, wrongReadings: wrong });
    else held.weight += explanation.weight;
  }
  const sorted = [...joined.values()].sort((x, y) => y.weight - x.weight);
  let sum = 0;
  const shown: FaultSet[] = [];
  for (const set of sorted) {
    if (sum >= SHOWN_SHARE || shown.length >= MOST_SETS) break;
    sum += set.weight;
    shown.push(set);
  }
  return shown;
}

function faultKey(name: FaultName): string {
  return `${name.what}:${name.parts.join(',')}:${name.mode}:${name.pin ?? ''}:${name.nets?.join('-') ?? ''}`;
}

interface PartWeight {
  weight: number;
  readonly modes: Map<string, number>;
  alike: readonly number[];
}

/** 0–1: weight of the present piece in a part's place having failed. */
export function partWeight(beliefs: Beliefs, evidence: Evidence, part: number): number {
  const ids = beliefs.problem.universe.lists.ofPart(part);
  return weightsIn(beliefs, evidence, ids).get(part)?.weight ?? 0;
}

/** Weight of every part whose present piece may have failed. */
function partWeights(beliefs: Beliefs, evidence: Evidence): Map<number, PartWeight> {
  return weightsIn(
    beliefs,
    evidence,
    beliefs.problem.universe.faults.map(({ id }) => id),
  );
}

/** The same from some of the faults. */
function weightsIn(
  beliefs: Beliefs,
  evidence: Evidence,
  ids: readonly number[],
): Map<number, PartWeight> {
  const found = new Map<number, PartWeight>();
  for (const id of ids) {
    const fault = beliefs.problem.universe.faults[id] as Fault;
    if (
      (fault.what !== 'part' && fault.what !== 'joint') ||
      !concernsPresentPiece(fault, evidence.state)
    ) {
      continue;
    }
    const chances = beliefs.members(fault.id);
    fault.members.forEach(({ part }, k) => {
      const weight = chances[k] as number;
      let held = found.get(part);
      if (held === undefined) {
        held = { weight: 0, modes: new Map(), alike: [] };
        found.set(part, held);
      }
      held.weight = Math.min(1, held.weight + weight); // modes of one piece exclude each other
      const mode = held.modes.get(fault.mode) ?? 0;
      held.modes.set(fault.mode, mode + weight);
      if (fault.members.length > 1 && weight > SUSPECT_WEIGHT / 10 && weight >= mode) {
        held.alike = fault.members.map((m) => m.part);
      }
    });
  }
  return found;
}

function suspects(
  beliefs: Beliefs,
  byPart: ReadonlyMap<number, PartWeight>,
  evidence: Evidence,
): Suspect[] {
  const accused = accusedParts(beliefs);
  return [...byPart]
    .filter(([part, { weight }]) => weight >= SUSPECT_WEIGHT && (accused.has(part) || weight > 0.5))
    .map(([part, { weight, modes, alike }]) => ({
      part,
      weight,
      modes: [...modes]
        .map(([mode, w]) => ({ mode, weight: w }))
        .filter((m) => m.weight >= SUSPECT_WEIGHT / 10)
        .sort((x, y) => y.weight - x.weight),
      alike: evidence.state.off.has(part) ? [] : alike,
    }))
    .sort((x, y) => y.weight - x.weight || x.part - y.part);
}

/** Parts that stand in an explanation which still carries weight. */
function accusedParts(beliefs: Beliefs): Set<number> {
  const found = new Set<number>();
  for (const explanation of beliefs.explanations) {
    if (explanation.weight < SUSPECT_WEIGHT / 20) continue;
    for (const id of explanation.accused) {
      for (const { part } of beliefs.problem.universe.faults[id]?.members ?? []) found.add(part);
    }
  }
  return found;
}

/** Parts whose shorts a beeper would have shown, and did not; leaks of many ohms are another matter. */
function clearedParts(bench: Bench, beliefs: Beliefs, evidence: Evidence): Cleared[] {
  const { universe, observations } = beliefs.problem;
  const found: Cleared[] = [];
  for (const part of bench.circuit.board.parts) {
    if ((evidence.state.piece.get(part.index) ?? 0) > 0) continue;
    const by = new Set<number>();
    let before = 0;
    let weight = 0;
    for (const id of universe.lists.ofPart(part.index)) {
      const fault = universe.faults[id] as Fault;
      if (!fault.branches.some(({ ohms }) => ohms < bench.meter.beepOhms / 2)) continue;
      const member = fault.members.findIndex((m) => m.part === part.index);
      weight += beliefs.members(id)[member] as number;
      for (const k of beliefs.against.get(id) ?? [])
        for (const n of observations[k]?.ids ?? []) by.add(n);
    }
    const model = bench.circuit.models[part.index]?.modes ?? [];
    model.forEach(({ joins }, k) => {
      if (joins.some(({ ohms }) => ohms < bench.meter.beepOhms / 2)) {
        before += bench.priors.modes[part.index]?.[k] as number;
      }
    });
    if (before === 0 || weight > CLEARED_RATIO * before) continue;
    for (const reading of evidence.readings) if (reading.offPart === part.index) by.add(reading.id);
    if (by.size > 0) found.push({ part: part.index, by: [...by].sort((x, y) => x - y), weight });
  }
  return found;
}

function missingLinks(
  beliefs: Beliefs,
  evidence: Evidence,
): { nets: readonly [number, number]; weight: number }[] {
  return beliefs.problem.universe.faults
    .filter((fault) => fault.what === 'link' && concernsPresentPiece(fault, evidence.state))
    .map((fault) => ({
      nets: fault.nets as readonly [number, number],
      weight: beliefs.chance[fault.id] as number,
    }))
    .filter(({ weight }) => weight > 0.05)
    .sort((x, y) => y.weight - x.weight);
}

/** Chance that some explanation with a fault still in place on the board is true. */
function faultWeight(beliefs: Beliefs, evidence: Evidence): number {
  let sum = 0;
  for (const explanation of beliefs.explanations) {
    const present = explanation.accused.some((id) => {
      const fault = beliefs.problem.universe.faults[id] as Fault;
      return concernsPresentPiece(fault, evidence.state);
    });
    if (present) sum += explanation.weight;
  }
  return sum;
}
