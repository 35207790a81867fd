import { reach } from '../circuit/conduction.ts';
import type { Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import { contradictionWeight, doubtfulReadings, partWeights } from '../faults/diagnose.ts';
import { actsOn, type Fault } from '../faults/fault.ts';
import type { Analysis } from './advise.ts';
import { type Candidate, Candidates } from './candidates.ts';
import type { Hypothesis, RepairUnit } from './hypotheses.ts';
import { repairEntropy } from './hypotheses.ts';
import { Forecaster } from './outlook.ts';
import { type Scored, scoreAll } from './score.ts';
import type { Advice, Outcome, Step } from './step.ts';
import { pairName, partNames, percent, unitName, unitsName } from './words.ts';

/** A step with its price and reason, before the rest of the advice is put round it. */
interface Choice {
  readonly phase: Advice['phase'];
  readonly step: Step;
  readonly minutes: number;
  readonly why: string;
  readonly outcomes: readonly Outcome[];
  readonly others?: Advice['others'];
}

/** Decides what to do next. */
export function planNext(analysis: Analysis): Advice {
  const choice = new Plan(analysis).choose();
  return {
    ...choice,
    minutesLeft: choice.step.kind === 'done' ? 0 : minutesLeft(analysis, choice),
    others: choice.others ?? [],
    open: openPoints(analysis),
  };
}

/** Nets joined by less are the same copper as far as a first look goes. */
const SAME_COPPER_OHMS = 0.1;

class Plan {
  readonly #a: Analysis;
  readonly #acting: number;

  constructor(analysis: Analysis) {
    this.#a = analysis;
    this.#acting = actingWeight(analysis);
  }

  choose(): Choice {
    return (
      this.#firstRails() ??
      this.#isolate() ??
      this.#legReading() ??
      this.#restore() ??
      this.#prove() ??
      this.#survey() ??
      this.#done()
    );
  }

  get #board() {
    return this.#a.workbench.board;
  }

  /** Every rail once, before anything else: it is cheap and tells where to look. */
  #firstRails(): Choice | undefined {
    const { evidence, workbench, beliefs } = this.#a;
    const view = beliefs.problem.circuit.view(evidence.state);
    // Rails that share their copper over wire links are one to a beeper until a link is in doubt.
    const place = (net: number): number =>
      Math.min(...reach(view, [], net, SAME_COPPER_OHMS).keys());
    const pair = (a: number, b: number): string => netPairKey(place(a), place(b));
    const seen = new Set(evidence.readings.map(({ red, black }) => pair(red.net, black.net)));
    const rail = this.#board.rails.find(
      ({ plus, minus }) => plus !== minus && !seen.has(pair(plus, minus)),
    );
    if (rail === undefined) return undefined;
    const probe: Probe = {
      mode: 'continuity',
      red: { net: rail.plus },
      black: { net: rail.minus },
    };
    return {
      phase: 'survey',
      step: { kind: 'read', probe, purpose: 'survey' },
      minutes: workbench.clock.read(probe),
      why: `Rail ${rail.name} has not been read yet.`,
      outcomes: this.#readOutcomes(probe),
    };
  }

  /** Outcomes of a plain reading from what is believed. */
  #readOutcomes(probe: Probe): Outcome[] {
    const forecaster = new Forecaster(this.#a.beliefs, this.#a.hypotheses);
    const outlook = forecaster.outlook(probe, this.#a.evidence.state, []);
    const shown = this.#a.survey.readings.find(
      ({ probe: p }) => p.red.net === probe.red.net && p.black.net === probe.black.net,
    );
    const hidden = Math.min(0.9, shown?.faults ?? 0);
    return outlook.answers.map(({ text, chance, weights }) => {
      const beep = text === 'beep';
      const weight = beep ? chance + (1 - chance) * hidden : chance * (1 - hidden);
      return {
        answer: text,
        weight,
        means: this.#means(
          weights,
          beep ? 'something across it conducts' : 'nothing conducts across it',
        ),
      };
    });
  }

  /** What an answer leaves most likely. */
  #means(weights: readonly number[], plain: string): string {
    const byKey = new Map<string, { weight: number; hypothesis: Hypothesis }>();
    this.#a.hypotheses.forEach((hypothesis, k) => {
      const weight = weights[k] as number;
      const held = byKey.get(hypothesis.key);
      if (held === undefined) byKey.set(hypothesis.key, { weight, hypothesis });
      else held.weight += weight;
    });
    const top = [...byKey.values()].sort((x, y) => y.weight - x.weight)[0];
    if (top === undefined || top.hypothesis.units.length === 0) return plain;
    return `${unitsName(this.#board, top.hypothesis.units)} (${percent(top.weight)})`;
  }

  /** Something on the board is suspected: tell the fault sets apart, or start the repair they agree on. */
  #isolate(): Choice | undefined {
    const { workbench, beliefs, hypotheses, evidence } = this.#a;
    const doubtful = new Set(doubtfulReadings(beliefs).map(({ id }) => id));
    const forecaster = new Forecaster(beliefs, hypotheses);
    const candidates = new Candidates(beliefs, hypotheses, evidence.state, workbench.clock);
    const repeats = candidates.repeats(doubtful);
    if (this.#acting < workbench.steps.clearWeight) {
      // Nothing in circuit is suspected; a reading that fits nothing is only worth taking again.
      if (contradictionWeight(beliefs) < 0.2) return undefined;
      const again = scoreAll(repeats, hypotheses, forecaster)[0];
      return again === undefined ? undefined : this.#informative(again, []);
    }
    const all: Candidate[] = [...repeats, ...candidates.readings(), ...candidates.lifts()];
    const scored = scoreAll(all, hypotheses, forecaster);
    const sure = this.#surestUnit();
    const entropy = repairEntropy(hypotheses);
    const best = scored[0];
    if (
      sure !== undefined &&
      (sure.weight >= workbench.steps.sureWeight || best === undefined || entropy < 0.1)
    ) {
      return this.#repair(sure, scored);
    }
    return best === undefined ? undefined : this.#informative(best, scored.slice(1));
  }

  /** The thing to put right that stands in most of the weight. */
  #surestUnit(): { unit: RepairUnit; weight: number } | undefined {
    const byKey = new Map<string, { unit: RepairUnit; weight: number }>();
    for (const { units, weight } of this.#a.hypotheses) {
      for (const unit of units) {
        if (this.#isDealtWith(unit)) continue;
        const held = byKey.get(unit.key);
        if (held === undefined) byKey.set(unit.key, { unit, weight });
        else held.weight += weight;
      }
    }
    return [...byKey.values()].sort((x, y) => y.weight - x.weight)[0];
  }

  /** Its parts are off the board, or someone has looked and found nothing. */
  #isDealtWith(unit: RepairUnit): boolean {
    const { state, looks } = this.#a.evidence;
    if (unit.comesOff) return unit.parts.every((part) => state.off.has(part));
    const { nets } = unit;
    if (nets === undefined) return false;
    return looks.some(
      (look) => look.nets !== undefined && netPairKey(...look.nets) === netPairKey(...nets),
    );
  }

  #repair(sure: { unit: RepairUnit; weight: number }, scored: readonly Scored[]): Choice {
    const { unit, weight } = sure;
    const { clock } = this.#a.workbench;
    const { state } = this.#a.evidence;
    const many = unit.parts.length > 1 && !unit.choice;
    const why = `${capital(unitName(this.#board, unit))} ${many ? 'carry' : 'carries'} ${percent(weight)} of the weight; no reading would change the repair.`;
    const base = { phase: 'repair' as const, why, outcomes: [], others: othersOf(scored) };
    if (unit.what === 'joint') {
      const pins = [unit.pin as number];
      return { ...base, step: { kind: 'reflow', pins }, minutes: clock.reflow };
    }
    if (unit.nets !== undefined) {
      return { ...base, step: { kind: 'inspect', nets: unit.nets }, minutes: clock.look * 2 };
    }
    const parts = unit.parts.filter((part) => !state.off.has(part));
    const first = unit.choice ? parts.slice(0, 1) : parts;
    const then = this.#lastAsked();
    return {
      ...base,
      step: { kind: 'remove', parts: first, ...(then === undefined ? {} : { then }) },
      minutes: clock.remove(first, state) + (then === undefined ? 0 : clock.read(then)),
    };
  }

  #lastAsked(): Probe | undefined {
    const { observations } = this.#a.beliefs.problem;
    for (const observation of [...observations].reverse()) {
      if (observation.a === observation.b) continue;
      if (observation.entries.some(({ value }) => value.kind === 'beep' || value.kind === 'ohms')) {
        return { mode: 'continuity', red: { net: observation.a }, black: { net: observation.b } };
      }
    }
    return undefined;
  }

  #informative(best: Scored, rest: readonly Scored[]): Choice {
    const { candidate, outlook, extraMinutes } = best;
    const outcomes = outlook.answers
      .filter(({ chance }) => chance > 0.005)
      .map(({ text, chance, weights }) => ({
        answer: text,
        weight: chance,
        means: this.#means(weights, 'nothing on the board is faulty'),
      }));
    return {
      phase: 'isolate',
      step: candidate.step,
      minutes: candidate.minutes,
      why: this.#whyInformative(candidate, extraMinutes),
      outcomes,
      others: othersOf(rest),
    };
  }

  #whyInformative({ step, parts, minutes }: Candidate, extraMinutes: number): string {
    const left = this.#rivals();
    if (step.kind === 'read' && step.purpose === 'repeat') {
      return 'An earlier reading here does not fit the others; take it again.';
    }
    if (step.kind === 'read')
      return `${left}: this reading splits them best for ${minutes.toFixed(1)} min.`;
    const name = partNames(this.#board, parts);
    if (extraMinutes < 0.6 * minutes)
      return `${left}: ${name} most likely has to come out anyway, so lifting costs little extra.`;
    return `${left}: lifting ${name} splits them best for the minutes it costs.`;
  }

  #rivals(): string {
    const byKey = new Map<string, number>();
    for (const { key, weight } of this.#a.hypotheses)
      byKey.set(key, (byKey.get(key) ?? 0) + weight);
    const count = [...byKey.values()].filter((weight) => weight > 0.01).length;
    return count < 2 ? 'One repair stands out' : `${count} repairs still explain the readings`;
  }

  /** A part lies beside the board and is neither condemned nor cleared: read it on its legs. */
  #legReading(): Choice | undefined {
    const { evidence, workbench, beliefs } = this.#a;
    const weights = partWeights(beliefs, evidence);
    const settled = this.#renewedAnyway();
    for (const part of evidence.state.off) {
      if (settled.has(part)) continue;
      const weight = weights.get(part)?.weight ?? 0;
      if (weight < 0.02 || weight > 0.97) continue;
      const pair = this.#untriedLegs(part);
      if (pair === undefined) continue;
      const [a, b] = pair;
      const point = (pin: number) => ({ pin, net: this.#board.pins[pin]?.net ?? 0 });
      const probe: Probe = { mode: 'ohms', red: point(a), black: point(b), offPart: part };
      const name = this.#board.parts[part]?.name;
      return {
        phase: 'repair',
        step: { kind: 'read', probe, purpose: 'isolate' },
        minutes: workbench.clock.read(probe),
        why: `${name} is off the board and may have failed (${percent(weight)}); its own legs tell.`,
        outcomes: [
          { answer: 'about 0 ohm', weight, means: `${name} is shorted` },
          { answer: 'OL', weight: 1 - weight, means: `${name} is not shorted here` },
        ],
      };
    }
    return undefined;
  }

  /** The heaviest failed mode of a removed part that its legs have not been read for. */
  #untriedLegs(part: number): readonly [number, number] | undefined {
    const { evidence, beliefs } = this.#a;
    const { universe } = beliefs.problem;
    const tried = new Set(
      evidence.readings
        .filter((r) => r.offPart === part && r.id > (evidence.replacedAt.get(part) ?? 0))
        .map((r) => [r.red.pin ?? -1, r.black.pin ?? -1].sort((x, y) => x - y).join('-')),
    );
    const modes = [...(universe.ofPart.get(part) ?? [])]
      .map((id) => universe.faults[id] as Fault)
      .filter((fault) => fault.what === 'part')
      .sort((x, y) => (beliefs.chance[y.id] as number) - (beliefs.chance[x.id] as number));
    const models = beliefs.problem.circuit.models[part]?.modes ?? [];
    for (const fault of modes) {
      const join = models.find((mode) => mode.name === fault.mode)?.joins[0];
      if (join === undefined) continue;
      if (!tried.has([join.a, join.b].sort((x, y) => x - y).join('-'))) return [join.a, join.b];
    }
    return undefined;
  }

  /** Parts of sets that are replaced together because one of them, not known which, failed. */
  #renewedAnyway(): Set<number> {
    const { hypotheses, workbench } = this.#a;
    const weight = new Map<string, { unit: RepairUnit; weight: number }>();
    for (const hypothesis of hypotheses) {
      for (const unit of hypothesis.units) {
        if (unit.choice || unit.parts.length < 2) continue;
        const held = weight.get(unit.key);
        if (held === undefined) weight.set(unit.key, { unit, weight: hypothesis.weight });
        else held.weight += hypothesis.weight;
      }
    }
    const found = [...weight.values()].filter((w) => w.weight > workbench.steps.replaceWeight);
    return new Set(found.flatMap(({ unit }) => unit.parts));
  }

  /** Nothing left on the board is suspected: put it together again, new pieces for failed ones. */
  #restore(): Choice | undefined {
    const { evidence, workbench, beliefs } = this.#a;
    const weights = partWeights(beliefs, evidence);
    const out = [
      ...new Set(this.#a.proof.filter((item) => item.what === 'refit').map((item) => item.index)),
    ];
    const renewed = this.#renewedAnyway();
    const condemned = out.filter(
      (part) =>
        (weights.get(part)?.weight ?? 0) > workbench.steps.replaceWeight || renewed.has(part),
    );
    const healthy = out.filter((part) => !condemned.includes(part));
    if (condemned.length > 0) {
      return {
        phase: 'repair',
        step: { kind: 'replace', parts: condemned },
        minutes: workbench.clock.fit(condemned, evidence.state),
        why: `${capital(partNames(this.#board, condemned))} failed or ${condemned.length > 1 ? 'belong' : 'belongs'} to a set that did; fit new.`,
        outcomes: [],
      };
    }
    if (healthy.length > 0) {
      return {
        phase: 'repair',
        step: { kind: 'refit', parts: healthy },
        minutes: workbench.clock.fit(healthy, evidence.state),
        why: `${capital(partNames(this.#board, healthy))} ${healthy.length > 1 ? 'are' : 'is'} not at fault; put back.`,
        outcomes: [],
      };
    }
    return undefined;
  }

  /** Rails and new parts are read again after the last change. */
  #prove(): Choice | undefined {
    const item = this.#a.proof.find(({ missing }) => missing.length > 0);
    const probe = item?.missing[0];
    if (item === undefined || probe === undefined) return undefined;
    const why =
      item.what === 'rail'
        ? `${capital(item.name)} has not been read clear since the last change.`
        : `${item.name} is new and has not been read clear on its pads.`;
    return {
      phase: 'prove',
      step: { kind: 'read', probe, purpose: 'prove' },
      minutes: this.#a.workbench.clock.read(probe),
      why,
      outcomes: this.#readOutcomes(probe),
    };
  }

  /** Faults nothing has spoken of yet: read on until few are expected. */
  #survey(): Choice | undefined {
    const { survey, workbench } = this.#a;
    const next = survey.readings[0];
    if (next === undefined || survey.unread <= workbench.steps.proofRisk) return undefined;
    return {
      phase: 'survey',
      step: { kind: 'read', probe: next.probe, purpose: 'survey' },
      minutes: workbench.clock.read(next.probe),
      why: `Speaks for ${partNames(this.#board, next.parts)}, which nothing has been read across yet.`,
      outcomes: this.#readOutcomes(next.probe),
    };
  }

  #done(): Choice {
    return {
      phase: 'clear',
      step: { kind: 'done' },
      minutes: 0,
      why: 'Every rail and every replaced part read clear after the last change, and nothing is off the board.',
      outcomes: [],
    };
  }
}

/** Weight of the hypotheses in which something still in circuit has failed. */
export function actingWeight({ hypotheses, beliefs, evidence }: Analysis): number {
  let sum = 0;
  for (const { faults, weight, units } of hypotheses) {
    if (units.length === 0) continue;
    const acts = faults.some((id) =>
      actsOn(beliefs.problem.universe.faults[id] as Fault, evidence.state),
    );
    if (acts) sum += weight;
  }
  return sum;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function othersOf(scored: readonly Scored[]): Advice['others'] {
  return scored.slice(0, 3).map(({ candidate, outlook }) => ({
    step: candidate.step,
    minutes: candidate.minutes,
    why: `tells ${(outlook.gain / Math.LN2).toFixed(2)} bit`,
  }));
}

/** Minutes per nat of doubt about the repair, from simulated jobs. */
const MINUTES_PER_NAT = 1.5;

function minutesLeft(analysis: Analysis, choice: Choice): number {
  const { hypotheses, workbench, evidence, proof, survey } = analysis;
  let repair = 0;
  for (const { units, weight } of hypotheses) {
    for (const unit of units) {
      const parts = unit.choice ? unit.parts.slice(0, 1) : unit.parts;
      repair +=
        weight *
        (parts.length > 0
          ? workbench.clock.replace(parts, evidence.state)
          : workbench.clock.reflow);
    }
  }
  const doubt = repairEntropy(hypotheses) * MINUTES_PER_NAT;
  const readings = proof.reduce((sum, { missing }) => sum + Math.max(1, missing.length), 0);
  const surveys = Math.min(survey.readings.length, Math.ceil(survey.unread * 20));
  return choice.minutes + repair + doubt + 0.3 * (readings + surveys);
}

function openPoints(analysis: Analysis): string[] {
  const { proof, workbench } = analysis;
  return proof
    .filter(({ holds }) => !holds)
    .map(({ what, name, missing }) =>
      what === 'refit'
        ? `${name} is not back on the board`
        : `${name} not read clear: ${missing.map((probe) => pairName(workbench.board, probe)).join(', ')}`,
    );
}
