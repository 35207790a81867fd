import type { Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import { contradictionWeight, doubtfulReadings } from '../faults/contradictions.ts';
import type { Analysis } from './advise.ts';
import { type Candidate, type Candidates, lookKey } from './candidates.ts';
import { actingWeight, type Choice, capital, meaning } from './choice.ts';
import { copperSteps } from './copper/copper-steps.ts';
import { Foresight } from './foresight.ts';
import { type RepairUnit, repairEntropy } from './hypotheses.ts';
import { bySoonest, type Scored } from './score.ts';
import type { Advice, Step } from './step.ts';
import { partNames, percent, unitName } from './words.ts';

/** Below this doubt, nats, no further reading could change the repair. */
const LITTLE_DOUBT = 0.1;
/** Nothing comes off the board for less than this once no reading tells more. */
const LIKELIER_THAN_NOT = 0.5;
/** Fewer minutes than this are not worth arguing over. */
const SMALL_MINUTES = 0.5;
/** From this weight on a contradiction among the readings is worth a repeat by itself. */
const CONTRADICTION = 0.2;

/**
 * While something in circuit is suspected: the step that tells the fault sets apart for the fewest
 * minutes, or the repair they agree on. Undefined when nothing is suspected, or nothing would help.
 */
export function isolate(analysis: Analysis): Choice | undefined {
  return new Isolation(analysis).choose();
}

/** Something to put right, and the weight it stands in. */
interface Weighed {
  readonly unit: RepairUnit;
  readonly weight: number;
}

class Isolation {
  readonly #a: Analysis;
  readonly #foresight: Foresight;

  constructor(analysis: Analysis) {
    this.#a = analysis;
    this.#foresight = new Foresight(analysis);
  }

  get #candidates(): Candidates {
    return this.#foresight.candidates;
  }

  choose(): Choice | undefined {
    const { workbench, beliefs, hypotheses, evidence } = this.#a;
    const doubtful = new Set(doubtfulReadings(beliefs).map(({ id }) => id));
    const { offers } = this.#a;
    const isOffered = ({ step }: Candidate): boolean => offers.has(step);
    const repeats = this.#candidates.repeats(doubtful).filter(isOffered);
    if (actingWeight(this.#a) < workbench.steps.clearWeight) {
      // Nothing in circuit is suspected; a reading that fits nothing is only worth taking again.
      if (contradictionWeight(beliefs) < CONTRADICTION) return undefined;
      const again = this.#foresight.score(repeats)[0];
      return again === undefined ? undefined : this.#informative(again, []);
    }
    const scored = [
      ...this.#foresight.score([
        ...repeats,
        ...[
          ...this.#candidates.readings(),
          ...this.#candidates.lifts(),
          ...this.#candidates.looks(new Set(evidence.looks.map(lookKey))),
        ].filter(isOffered),
      ]),
      ...copperSteps(this.#a, this.#foresight).filter(({ candidate }) => isOffered(candidate)),
    ].sort(bySoonest);
    const sure = this.#surestUnit();
    const best = scored[0];
    const certain = this.#certainParts();
    if (certain.length > 0) return this.#renewed(certain, scored);
    const isSettled = best === undefined || repairEntropy(hypotheses) < LITTLE_DOUBT;
    const least = isSettled ? LIKELIER_THAN_NOT : workbench.steps.sureWeight;
    // One of several parts is not sure of any: lifting one of them tells.
    const isOneOf = sure?.unit.choice === true && best !== undefined && this.#pays(best);
    if (sure !== undefined && sure.weight >= least && !isOneOf) return this.#repair(sure, scored);
    const cheap = this.#cheapUnit();
    if (cheap !== undefined) return this.#onSuspicion(cheap, scored);
    return best === undefined ? undefined : this.#informative(best, scored.slice(1));
  }

  /** A step pays that does not lead to more minutes than trying one repair after the other would. */
  #pays({ whole }: Scored): boolean {
    return whole < this.#foresight.plainMinutes + SMALL_MINUTES;
  }

  /** The thing to put right that stands in most of the weight. */
  #surestUnit(): Weighed | undefined {
    return this.#weighedUnits()[0];
  }

  /** Parts that have to be renewed, as good as certainly: all in one go, as one heatsink may serve several. */
  #certainParts(): number[] {
    const { fitUnreadWeight } = this.#a.workbench.steps;
    if (fitUnreadWeight >= 1) return [];
    const parts = this.#weighedUnits()
      .filter(({ unit, weight }) => unit.comesOff && !unit.choice && weight > fitUnreadWeight)
      .flatMap(({ unit }) => unit.parts);
    const each = [...new Set(parts)];
    return this.#a.offers.has({ kind: 'replace', parts: each }) ? each : [];
  }

  #renewed(parts: readonly number[], scored: readonly Scored[]): Choice {
    const { clock, board } = this.#a.workbench;
    const names = capital(partNames(board, parts));
    return {
      phase: 'repair',
      step: { kind: 'replace', parts },
      minutes: clock.replace(parts, this.#a.evidence.state),
      why: `${names} ${parts.length > 1 ? 'are' : 'is'} as good as certain to have failed; a reading between out and in would tell nothing more.`,
      outcomes: [],
      others: othersOf(scored),
    };
  }

  /** The heaviest repair of parts that the shop replaces on suspicion, where it weighs enough. */
  #cheapUnit(): Weighed | undefined {
    const { suspicion } = this.#a.workbench.steps;
    if (suspicion === undefined) return undefined;
    return this.#weighedUnits().find(
      ({ unit, weight }) =>
        unit.comesOff &&
        !unit.choice &&
        weight >= suspicion.from &&
        unit.parts.every((part) => suspicion.parts.has(part)),
    );
  }

  #onSuspicion(cheap: Weighed, scored: readonly Scored[]): Choice {
    const { unit, weight } = cheap;
    const name = capital(unitName(this.#a.workbench.board, unit));
    const many = unit.parts.length > 1;
    const why = `${name} ${many ? 'carry' : 'carries'} ${percent(weight)} of the weight and ${many ? 'are' : 'is'} cheap: the shop replaces such parts on suspicion.`;
    return { ...this.#repair(cheap, scored), why };
  }

  /** What there is to put right and nobody has dealt with, heaviest first. */
  #weighedUnits(): Weighed[] {
    const byKey = new Map<string, { unit: RepairUnit; weight: number }>();
    for (const { units, weight } of this.#a.hypotheses) {
      for (const unit of units) {
        if (this.#isDealtWith(unit) || !this.#a.offers.has(this.#repairStep(unit))) continue;
        const held = byKey.get(unit.key);
        if (held === undefined) byKey.set(unit.key, { unit, weight });
        else held.weight += weight;
      }
    }
    return [...byKey.values()].sort((x, y) => y.weight - x.weight);
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

  #repair(sure: Weighed, scored: readonly Scored[]): Choice {
    const { unit, weight } = sure;
    const { clock } = this.#a.workbench;
    const { state } = this.#a.evidence;
    const many = unit.parts.length > 1 && !unit.choice;
    const why = `${capital(unitName(this.#a.workbench.board, unit))} ${many ? 'carry' : 'carries'} ${percent(weight)} of the weight; no reading would change the repair.`;
    const base = { phase: 'repair' as const, why, outcomes: [], others: othersOf(scored) };
    const step = this.#repairStep(unit);
    if (step.kind === 'reflow') return { ...base, step, minutes: clock.reflow };
    if (step.kind === 'inspect') return { ...base, step, minutes: clock.look * 2 };
    const then = this.#telling(step.parts);
    return {
      ...base,
      step: { ...step, ...(then === undefined ? {} : { then }) },
      minutes: clock.remove(step.parts, state) + (then === undefined ? 0 : clock.read(then)),
    };
  }

  /** What puts a unit right, without the reading after. */
  #repairStep(unit: RepairUnit): Extract<Step, { kind: 'reflow' | 'inspect' | 'remove' }> {
    if (unit.what === 'joint') return { kind: 'reflow', pins: [unit.pin as number] };
    if (unit.nets !== undefined) return { kind: 'inspect', nets: unit.nets };
    const parts = unit.parts.filter((part) => !this.#a.evidence.state.off.has(part));
    return { kind: 'remove', parts: unit.choice ? parts.slice(-1) : parts };
  }

  /** The pair whose reading would show best that taking these parts off helped. */
  #telling(parts: readonly number[]): Probe | undefined {
    let best: Probe | undefined;
    let most = 0;
    for (const { probe, state, parts: out } of this.#candidates.liftsOf(parts)) {
      if (!this.#a.offers.canProbe(probe)) continue;
      const quiet = (s: typeof state): number =>
        this.#foresight.forecaster.outlook(probe, s, out).answers.find((a) => a.text === 'quiet')
          ?.chance ?? 0;
      const gained = quiet(state) - quiet(this.#a.evidence.state);
      if (gained > most) {
        most = gained;
        best = probe;
      }
    }
    return best;
  }

  #informative(best: Scored, rest: readonly Scored[]): Choice {
    const { candidate, outlook, extraMinutes, readings } = best;
    const outcomes = outlook.answers
      .filter(({ chance }) => chance > 0.005)
      .map(({ text, chance, weights }) => ({
        answer: text,
        weight: chance,
        means: meaning(this.#a, weights, 'nothing on the board is faulty'),
      }));
    return {
      phase: 'isolate',
      step: candidate.step,
      minutes: candidate.minutes,
      why: this.#whyInformative(candidate, extraMinutes, readings),
      outcomes,
      others: othersOf(rest),
    };
  }

  #whyInformative(
    { step, parts, minutes }: Candidate,
    extraMinutes: number,
    readings: number | undefined,
  ): string {
    const left = this.#rivals();
    if (step.kind === 'read' && step.purpose === 'repeat') {
      return 'An earlier reading here does not fit the others; take it again.';
    }
    if (step.kind === 'look') return `${left}: a look costs little and may show a mark.`;
    if (readings !== undefined) return `${left}: ${alongCopper(step, readings)}`;
    if (step.kind === 'read') return `${left}: this reading leads to the culprit soonest.`;
    const name = partNames(this.#a.workbench.board, parts);
    if (extraMinutes < 0.6 * minutes)
      return `${left}: ${name} most likely has to come out anyway, so lifting costs little extra.`;
    return `${left}: lifting ${name} leads to the culprit soonest, for all it costs.`;
  }

  #rivals(): string {
    const byKey = new Map<string, number>();
    for (const { key, weight } of this.#a.hypotheses)
      byKey.set(key, (byKey.get(key) ?? 0) + weight);
    const count = [...byKey.values()].filter((weight) => weight > 0.01).length;
    return count < 2 ? 'One repair stands out' : `${count} repairs still explain the readings`;
  }
}

/** Why a reading along the copper, and for how long that goes on. */
function alongCopper(step: Step, readings: number): string {
  const isVolts = step.kind === 'read' && step.probe.mode === 'millivolts';
  const shown = isVolts
    ? 'the volts along the copper stop changing where the short is'
    : 'milliohms fall towards the short';
  const count = readings > 1 ? `about ${readings} such readings` : 'one more reading';
  return `${shown}; ${count} before lifting pays.`;
}

function othersOf(scored: readonly Scored[]): Advice['others'] {
  return scored.slice(0, 3).map(({ candidate, whole }) => ({
    step: candidate.step,
    minutes: candidate.minutes,
    why: `leads to about ${whole.toFixed(1)} min until the culprit is found`,
  }));
}
