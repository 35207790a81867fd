/** Puts together which parts are to be renewed, and every reason for each. */
import type { Board, Part } from '../../board/model.ts';
import { TURNED_MODE } from '../../circuit/turned.ts';
import type { Analysis } from '../../steps/advise.ts';
import type { DerivedJob } from '../derive.ts';
import type { JobPurpose } from '../event-line.ts';
import { dueFor } from './ageing.ts';
import { type Failure, failuresBefore, failuresNow } from './failures.ts';
import { inLineWith } from './in-line.ts';
import type { Need, Reason, RepairItem } from './model.ts';
import { isSteered, neighboursOf } from './neighbours.ts';
import { areSideBySide, isSemiconductor } from './side-by-side.ts';
import { type Sightings, sightingsOf } from './sightings.ts';
import { isRenewedUntested, joinsPins, shareAtControl } from './stress.ts';
import { isolationOf, ticksOf } from './ticks.ts';

/** From here on a part is said to have failed, rather than to be one that may have. */
const LIKELY_FAILED = 0.5;

/**
 * Every part to renew, renewed or suspected, at most once each, in the board's order.
 * @param sightings what eyes found
 */
export function repairItems(
  analysis: Analysis,
  job: DerivedJob,
  purpose: JobPurpose,
  sightings: Sightings = sightingsOf(job),
): RepairItem[] {
  const gathering = new Gathering(analysis, job, sightings);
  gathering.failures();
  gathering.bankMates();
  gathering.stressed();
  if (purpose === 'refurbish') gathering.refurbishment();
  return gathering.items();
}

/** Reasons as they are found; only ever added to. */
class Gathering {
  readonly #board: Board;
  readonly #analysis: Analysis;
  readonly #job: DerivedJob;
  readonly #sightings: Sightings;
  readonly #now: ReadonlyMap<number, Failure>;
  readonly #before: ReadonlyMap<number, Failure>;
  readonly #reasons = new Map<number, Reason[]>();
  readonly #sure = new Set<number>();
  /** Renewed for their age, and for nothing else. */
  readonly #due = new Set<number>();
  /** Parts that the readings say come out: alone, or one of a set not known which. */
  readonly #condemned: ReadonlySet<number>;
  /** Parts that failed, now or before they were renewed, with how. */
  readonly #failed = new Map<number, Failure | undefined>();

  constructor(analysis: Analysis, job: DerivedJob, sightings: Sightings) {
    this.#board = analysis.workbench.board;
    this.#analysis = analysis;
    this.#job = job;
    this.#sightings = sightings;
    this.#now = failuresNow(analysis.diagnosis);
    this.#before = failuresBefore(analysis, job);
    this.#condemned = new Set([...this.#sureUnits(), ...this.#surelyFailed()]);
  }

  /** What the readings or an eye condemn, and what they only suspect. */
  failures(): void {
    for (const [part, failure] of this.#now) {
      this.#accuse(part, failure, this.#condemned.has(part));
    }
    for (const [part, failure] of this.#before) {
      if (failure.weight >= LIKELY_FAILED) this.#accuse(part, failure, true);
    }
    for (const [part, { look }] of this.#sightings.parts) {
      this.#add(part, 'sure', { why: 'seen', finding: look.finding, event: look.id });
      if (look.finding !== 'missing' && look.finding !== 'wrong part') this.#fail(part, undefined);
    }
  }

  #accuse(part: number, failure: Failure, isSure: boolean): void {
    this.#add(part, isSure ? 'sure' : 'in case', reasonOf(failure));
    if (isSure && failure.weight >= LIKELY_FAILED) this.#fail(part, failure);
  }

  #fail(part: number, failure: Failure | undefined): void {
    if (!this.#failed.has(part)) this.#failed.set(part, failure);
  }

  /** Parts of a repair that is begun without further readings. */
  #sureUnits(): number[] {
    const { hypotheses, workbench } = this.#analysis;
    const weights = new Map<string, { weight: number; parts: readonly number[] }>();
    for (const { weight, units } of hypotheses) {
      for (const unit of units) {
        if (unit.what !== 'part' || unit.choice || this.#isTurned(unit.fault)) continue;
        const held = weights.get(unit.key) ?? { weight: 0, parts: unit.parts };
        weights.set(unit.key, { ...held, weight: held.weight + weight });
      }
    }
    const sure = [...weights.values()].filter(({ weight }) => weight >= workbench.steps.sureWeight);
    return sure.flatMap(({ parts }) => parts);
  }

  /** A part that sits the wrong way round is no failure, of its bank neither. */
  #isTurned(fault: number): boolean {
    return this.#analysis.beliefs.problem.universe.faults[fault]?.mode === TURNED_MODE;
  }

  /** Parts that failed beyond doubt, and those off the board that are not worth refitting. */
  #surelyFailed(): number[] {
    const { workbench, evidence } = this.#analysis;
    const { sureWeight, replaceWeight } = workbench.steps;
    return [...this.#now.values()]
      .filter(({ part, weight }) => {
        return weight >= (evidence.state.off.has(part) ? replaceWeight : sureWeight);
      })
      .map(({ part }) => part);
  }

  /** A bank is renewed as a set; parts side by side without a bank name are worth a test. */
  bankMates(): void {
    const { replaceBanksAsSets } = this.#analysis.workbench.steps;
    const out = [...this.#failed.keys(), ...this.#condemned];
    for (const bank of new Set(out.flatMap((part) => this.#part(part)?.bank ?? []))) {
      const members = this.#board.parts.filter((part) => part.bank === bank);
      const failed = members.map(({ index }) => index).filter((part) => this.#failed.has(part));
      for (const { index } of members) {
        if (this.#failed.has(index)) continue;
        const need = replaceBanksAsSets ? 'sure' : 'in case';
        this.#add(index, need, { why: 'same bank', bank, with: failed });
      }
    }
    for (const part of this.#failed.keys()) this.#parallels(part);
  }

  #parallels(failed: number): void {
    const part = this.#part(failed);
    if (part === undefined || part.bank !== undefined || !isSemiconductor(part)) return;
    for (const other of this.#board.parts) {
      if (other.index === failed || !areSideBySide(this.#board, part, other)) continue;
      this.#add(other.index, 'in case', { why: 'in parallel', with: [failed] });
    }
  }

  /** What stands round a failed transistor, and what feeds a short. */
  stressed(): void {
    for (const [index, failure] of this.#failed) {
      const part = this.#part(index);
      if (part === undefined) continue;
      if (isSteered(this.#board, part)) this.#neighbours(part, failure);
      const isShort = failure?.modes.some(({ mode }) => joinsPins(part, mode)) ?? false;
      if (!isShort) continue;
      for (const fed of inLineWith(this.#board, part)) {
        if (!this.#failed.has(fed)) this.#merge(fed, 'in case', { why: 'in line', of: [index] });
      }
    }
  }

  #neighbours(part: Part, failure: Failure | undefined): void {
    const share = shareAtControl(part, failure);
    for (const { part: other, role } of neighboursOf(this.#board, part)) {
      const neighbour = this.#part(other);
      if (neighbour === undefined) continue;
      const need =
        share >= LIKELY_FAILED && isRenewedUntested(neighbour, role) ? 'sure' : 'in case';
      this.#merge(other, need, { why: 'neighbour', role, of: [part.index] });
    }
  }

  refurbishment(): void {
    for (const part of this.#board.parts) {
      const because = dueFor(part);
      if (because === undefined) continue;
      if (!this.#sure.has(part.index)) this.#due.add(part.index);
      this.#add(part.index, 'sure', { why: 'refurbishment', because });
    }
  }

  items(): RepairItem[] {
    const { evidence } = this.#analysis;
    for (const { part } of this.#job.replaced) {
      if (!this.#reasons.has(part)) this.#add(part, 'sure', this.#whyReplaced(part));
    }
    return [...this.#reasons]
      .sort(([a], [b]) => a - b)
      .map(([part, reasons]) => {
        const now = this.#now.get(part);
        const doneAt = this.#doneAt(part);
        const isolation = isolationOf(this.#job, part, doneAt !== undefined);
        return {
          part,
          need: doneAt !== undefined || this.#sure.has(part) ? 'sure' : 'in case',
          isDue: this.#due.has(part),
          reasons,
          weight: now?.weight ?? 0,
          alike: now?.alike ?? [],
          isOff: evidence.state.off.has(part),
          ...(doneAt === undefined ? {} : { doneAt }),
          ticks: ticksOf(this.#job, part, doneAt !== undefined),
          ...(isolation === undefined ? {} : { isolation }),
        };
      });
  }

  /** Renewed on a suspicion, or for a reason of the technician's own. */
  #whyReplaced(part: number): Reason {
    const failure = this.#before.get(part);
    return failure === undefined ? { why: 'replaced' } : reasonOf(failure);
  }

  /** Renewed since, and nothing condemns the new piece. */
  #doneAt(part: number): number | undefined {
    const since = this.#analysis.evidence.replacedAt.get(part);
    if (since === undefined) return undefined;
    const { state } = this.#analysis.evidence;
    const { sureWeight, replaceWeight } = this.#analysis.workbench.steps;
    const limit = state.off.has(part) ? replaceWeight : sureWeight;
    if ((this.#now.get(part)?.weight ?? 0) >= limit) return undefined;
    const sighting = this.#sightings.parts.get(part);
    const isSeenSince = sighting !== undefined && sighting.piece === (state.piece.get(part) ?? 0);
    return isSeenSince ? undefined : since;
  }

  #part(index: number): Part | undefined {
    return this.#board.parts[index];
  }

  #add(part: number, need: Need, reason: Reason): void {
    if (need === 'sure') this.#sure.add(part);
    const held = this.#reasons.get(part) ?? [];
    // A piece that failed again is one reason, with what is heaviest of the two.
    const isSecond = reason.why === 'failed' && held.some(({ why }) => why === 'failed');
    if (!isSecond) this.#reasons.set(part, [...held, reason]);
    else
      this.#reasons.set(
        part,
        held.map((each) => heavier(each, reason)),
      );
  }

  /** As {@link Gathering.#add}; a reason of the same sort takes in what the new one names. */
  #merge(
    part: number,
    need: Need,
    reason: Extract<Reason, { why: 'neighbour' | 'in line' }>,
  ): void {
    const held = this.#reasons.get(part) ?? [];
    const same = held.find((each) => isSameSort(each, reason));
    if (same === undefined) {
      this.#add(part, need, reason);
      return;
    }
    if (need === 'sure') this.#sure.add(part);
    const of = [...new Set([...('of' in same ? same.of : []), ...reason.of])];
    this.#reasons.set(
      part,
      held.map((each) => (each === same ? { ...reason, of } : each)),
    );
  }
}

/** The failure with the modes that make up most of it, two at most. */
function reasonOf({ weight, modes }: Failure): Reason {
  const heavy = modes.filter((each) => each.weight >= weight / 5).slice(0, 2);
  return { why: 'failed', weight, modes: heavy.map(({ mode }) => mode) };
}

function heavier(a: Reason, b: Reason): Reason {
  if (a.why !== 'failed' || b.why !== 'failed') return a;
  return a.weight >= b.weight ? a : b;
}

function isSameSort(a: Reason, b: Reason): boolean {
  if (a.why === 'in line') return b.why === 'in line';
  return a.why === 'neighbour' && b.why === 'neighbour' && a.role === b.role;
}
