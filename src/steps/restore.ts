import type { Probe } from '../circuit/reading.ts';
import { partWeight } from '../faults/diagnose.ts';
import type { Fault } from '../faults/fault.ts';
import type { Analysis } from './advise.ts';
import { type Choice, capital } from './choice.ts';
import type { RepairUnit } from './hypotheses.ts';
import { partNames, percent } from './words.ts';

/** From this weight on a part off the board has failed without a reading on its own legs. */
const CONDEMNED_WEIGHT = 0.97;

/** Nothing in circuit is suspected: judge what lies beside the board, and put it together again. */
export function restore(analysis: Analysis): Choice | undefined {
  const restoring = new Restoring(analysis);
  return restoring.legReading() ?? restoring.fitting();
}

class Restoring {
  readonly #a: Analysis;

  constructor(analysis: Analysis) {
    this.#a = analysis;
  }

  /** A part lies beside the board and is neither condemned nor cleared: read it on its legs. */
  legReading(): Choice | undefined {
    const { evidence, workbench, beliefs } = this.#a;
    const settled = this.#renewedAnyway();
    const worthwhile = this.#leastWorthReading();
    for (const part of evidence.state.off) {
      if (settled.has(part) || this.#goesOnSuspicion(part)) continue;
      const weight = partWeight(beliefs, evidence, part);
      if (weight < worthwhile || weight > CONDEMNED_WEIGHT) continue;
      const pair = this.#untriedLegs(part);
      if (pair === undefined) continue;
      const [a, b] = pair;
      const point = (pin: number) => ({ pin, net: this.#a.workbench.board.pins[pin]?.net ?? 0 });
      const mode = workbench.bench.meter.drives.ohms === undefined ? 'continuity' : 'ohms';
      const probe: Probe = { mode, red: point(a), black: point(b), offPart: part };
      if (!this.#a.offers.has({ kind: 'read', probe, purpose: 'isolate' })) continue;
      const name = this.#a.workbench.board.parts[part]?.name;
      return {
        phase: 'repair',
        step: { kind: 'read', probe, purpose: 'isolate' },
        minutes: workbench.clock.read(probe),
        why: `${name} is off the board and may have failed (${percent(weight)}); its own legs tell.`,
        outcomes: [
          { answer: mode === 'ohms' ? 'about 0 ohm' : 'beep', weight, means: `${name} is shorted` },
          {
            answer: mode === 'ohms' ? 'OL' : 'quiet',
            weight: 1 - weight,
            means: `${name} is not shorted here`,
          },
        ],
      };
    }
    return undefined;
  }

  /** So cheap that a new one is fitted where another part would be read on its legs. */
  #goesOnSuspicion(part: number): boolean {
    const { evidence, workbench, beliefs } = this.#a;
    if (workbench.steps.suspicion?.parts.has(part) !== true) return false;
    return partWeight(beliefs, evidence, part) >= this.#leastWorthReading();
  }

  /**
   * A failed part put back costs about what it took to find it: everything that lies beside the
   * board, out and in again. Reading its legs pays from the weight at which that risk costs more.
   */
  #leastWorthReading(): number {
    const { evidence, workbench } = this.#a;
    const out = [...evidence.state.off];
    const again = workbench.clock.replace(out, { ...evidence.state, off: new Set() });
    return workbench.steps.times.legReading / Math.max(again, workbench.steps.times.legReading);
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
    const modes = universe.lists
      .ofPart(part)
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

  /** As the shop renews banks as sets: what shares one with a failed part and is still in place. */
  #matesOnBoard(failed: readonly number[]): number[] {
    const { evidence, workbench } = this.#a;
    if (!workbench.steps.replaceBanksAsSets) return [];
    const { off, piece } = evidence.state;
    const { parts } = workbench.board;
    const banks = new Set(failed.flatMap((part) => parts[part]?.bank ?? []));
    return parts
      .filter(({ index, bank }) => bank !== undefined && banks.has(bank) && !off.has(index))
      .map(({ index }) => index)
      .filter((part) => (piece.get(part) ?? 0) === 0);
  }

  #isOffered(kind: 'remove' | 'replace' | 'refit', parts: readonly number[]): boolean {
    return this.#a.offers.has({ kind, parts });
  }

  #takingOut(mates: readonly number[]): Choice {
    const { evidence, workbench } = this.#a;
    const names = capital(partNames(workbench.board, mates));
    return {
      phase: 'repair',
      step: { kind: 'remove', parts: mates },
      minutes: workbench.clock.remove(mates, evidence.state),
      why: `${names} ${mates.length > 1 ? 'share' : 'shares'} a bank with a part that failed; a bank is renewed as a set.`,
      outcomes: [],
    };
  }

  #whyRenewed(parts: readonly number[], failed: readonly number[]): string {
    const name = capital(partNames(this.#a.workbench.board, parts));
    const many = parts.length > 1;
    if (failed.length === 0) {
      return `${name} may have failed and ${many ? 'are' : 'is'} cheap; fit new.`;
    }
    const cheap = failed.length < parts.length ? ', or may have failed and are cheap' : '';
    return `${name} failed or ${many ? 'belong' : 'belongs'} to a set that did${cheap}; fit new.`;
  }

  /** Nothing left on the board is suspected: put it together again, new pieces for failed ones. */
  fitting(): Choice | undefined {
    const { evidence, workbench, beliefs } = this.#a;
    const out = [
      ...new Set(this.#a.proof.filter((item) => item.what === 'refit').map((item) => item.index)),
    ];
    const renewed = this.#renewedAnyway();
    const failed = out.filter(
      (part) =>
        partWeight(beliefs, evidence, part) > workbench.steps.replaceWeight || renewed.has(part),
    );
    const condemned = out.filter((part) => failed.includes(part) || this.#goesOnSuspicion(part));
    const healthy = out.filter((part) => !condemned.includes(part));
    const mates = this.#matesOnBoard(failed);
    if (mates.length > 0 && this.#isOffered('remove', mates)) return this.#takingOut(mates);
    if (condemned.length > 0 && this.#isOffered('replace', condemned)) {
      return {
        phase: 'repair',
        step: { kind: 'replace', parts: condemned },
        minutes: workbench.clock.replace(condemned, evidence.state),
        why: this.#whyRenewed(condemned, failed),
        outcomes: [],
      };
    }
    if (healthy.length > 0 && this.#isOffered('refit', healthy)) {
      return {
        phase: 'repair',
        step: { kind: 'refit', parts: healthy },
        minutes: workbench.clock.fit(healthy, evidence.state),
        why: `${capital(partNames(this.#a.workbench.board, healthy))} ${healthy.length > 1 ? 'are' : 'is'} not at fault; put back.`,
        outcomes: [],
      };
    }
    return undefined;
  }
}
