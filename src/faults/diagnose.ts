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
import { Workspace } from './workspace.ts';

/** What stays the same for a board while readings come in. */
export interface Bench {
  readonly circuit: Circuit;
  readonly priors: Priors;
  readonly meter: Meter;
  readonly settings: FaultSettings;
  readonly universes: Universes;
  readonly outcomes: Outcomes;
  readonly workspace: Workspace;
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
  const kept = { outcomes: new Outcomes(), workspace: new Workspace() };
  return { circuit, priors, meter, settings, universes, ...kept, copper, good };
}

/** Weighs everything that could be wrong with the board, given all that is known. */
export function weigh(bench: Bench, evidence: Evidence): Beliefs {
  return allOf(weighing(bench, evidence));
}

/** The same in slices. */
export function* weighing(bench: Bench, evidence: Evidence): Sliced<Beliefs> {
  const { circuit, meter, settings, outcomes, workspace } = bench;
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
    workspace,
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
  return {
    sets: faultSets(beliefs),
    suspects: suspects(beliefs, evidence),
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

/** No part has so many faults that ones of less than this would make it likelier than not to have failed. */
const LEAST_CHANCE = 5e-4;

/** Weight of the parts that could be suspects: those accused, and those likelier than not to have failed. */
function partWeights(
  beliefs: Beliefs,
  evidence: Evidence,
  accused: ReadonlySet<number>,
): Map<number, PartWeight> {
  const { faults, lists } = beliefs.problem.universe;
  const parts = new Set(accused);
  for (let id = 0; id < faults.length; id++) {
    if ((beliefs.chance[id] as number) < LEAST_CHANCE) continue;
    const chances = beliefs.members(id);
    (faults[id] as Fault).members.forEach(({ part }, k) => {
      if ((chances[k] as number) >= LEAST_CHANCE) parts.add(part);
    });
  }
  const ids = new Set([...parts].flatMap((part) => lists.ofPart(part)));
  const inOrder = [...ids].sort((x, y) => x - y);
  return weightsIn(beliefs, evidence, inOrder);
}

/** Of every part that some faults may mean. */
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

function suspects(beliefs: Beliefs, evidence: Evidence): Suspect[] {
  const accused = accusedParts(beliefs);
  return [...partWeights(beliefs, evidence, accused)]
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
  const chanceOf = memberChances(beliefs);
  for (const part of spokenFor(beliefs, evidence)) {
    if ((evidence.state.piece.get(part) ?? 0) > 0) continue;
    const by = new Set<number>();
    let before = 0;
    let weight = 0;
    for (const id of universe.lists.ofPart(part)) {
      const fault = universe.faults[id] as Fault;
      if (!fault.branches.some(({ ohms }) => ohms < bench.meter.beepOhms / 2)) continue;
      weight += chanceOf(fault, part);
      for (const k of beliefs.against.get(id) ?? [])
        for (const n of observations[k]?.ids ?? []) by.add(n);
    }
    const model = bench.circuit.models[part]?.modes ?? [];
    model.forEach(({ joins }, k) => {
      if (joins.some(({ ohms }) => ohms < bench.meter.beepOhms / 2)) {
        before += bench.priors.modes[part]?.[k] as number;
      }
    });
    if (before === 0 || weight > CLEARED_RATIO * before) continue;
    for (const reading of evidence.readings) if (reading.offPart === part) by.add(reading.id);
    if (by.size > 0) found.push({ part, by: [...by].sort((x, y) => x - y), weight });
  }
  return found;
}

/** Chance that a part has failed so; of a fault that means hundreds all are worked out at once. */
function memberChances(beliefs: Beliefs): (fault: Fault, part: number) => number {
  const known = new Map<number, ReadonlyMap<number, number>>();
  return ({ id, members }, part) => {
    let own = known.get(id);
    if (own === undefined) {
      const chances = beliefs.members(id);
      own = new Map(members.map((member, k) => [member.part, chances[k] as number]));
      known.set(id, own);
    }
    return own.get(part) as number;
  };
}

/** Parts that some reading speaks against, ascending. */
function spokenFor({ problem, against }: Beliefs, { readings }: Evidence): number[] {
  const parts = new Set<number>();
  for (const id of against.keys()) {
    for (const { part } of problem.universe.faults[id]?.members ?? []) parts.add(part);
  }
  for (const { offPart } of readings) if (offPart !== undefined) parts.add(offPart);
  return [...parts].sort((x, y) => x - y);
}

function missingLinks(
  beliefs: Beliefs,
  evidence: Evidence,
): { nets: readonly [number, number]; weight: number }[] {
  const { faults, later } = beliefs.problem.universe;
  return later // links come with the pairs that are read
    .map((id) => faults[id] as Fault)
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
