import { SimulatedBench, type SimulationOptions } from '../../src/bench/simulated-bench.ts';
import type { Board } from '../../src/board/model.ts';
import { benchPlayer } from '../../src/cli/drill/bench-player.ts';
import { keeperOf, standingOf } from '../../src/cli/standing.ts';
import { type Study, study } from '../../src/cli/study.ts';
import type { Evidence } from '../../src/faults/evidence.ts';
import { admit, type DerivedJob, deriveJob, extendJob } from '../../src/job/derive.ts';
import type { JobPurpose } from '../../src/job/event-line.ts';
import { printSay } from '../../src/job/print-say.ts';
import { checkStage } from '../../src/job/stage-refusals.ts';
import type { StandingView } from '../../src/report/standing.ts';

/** A step done: what it was, and what was recorded for it. */
export interface Done {
  readonly stage: StandingView['stage'];
  readonly kind: string;
  readonly said: readonly string[];
}

/** More steps than this, and a job goes round in circles. */
const MOST_STEPS = 600;

/**
 * A job on a simulated board, led by what the tool says comes next, with a clock of its own: each
 * line takes half a minute, unless time is passed on purpose.
 */
export class WholeJob {
  readonly board: Board;
  readonly purpose: JobPurpose;
  bench: SimulatedBench;
  readonly done: Done[] = [];
  derived: DerivedJob;
  #now = Date.parse('2026-03-02T08:00:00Z');

  constructor(
    board: Board,
    purpose: JobPurpose,
    these: NonNullable<SimulationOptions['these']> = [],
  ) {
    this.board = board;
    this.purpose = purpose;
    this.bench = new SimulatedBench(board, { seed: 1, faults: 0, these });
    this.derived = deriveJob(board, []);
  }

  /** Something fails meanwhile; what failed before was renewed. */
  breaks(...these: NonNullable<SimulationOptions['these']>): void {
    this.bench = new SimulatedBench(this.board, { seed: 1, faults: 0, these });
  }

  #studied: { readonly evidence: Evidence; readonly study: Study } | undefined;

  get study(): Study {
    const { evidence } = this.derived;
    if (this.#studied?.evidence !== evidence) {
      this.#studied = { evidence, study: study(this.board, evidence) };
    }
    return this.#studied.study;
  }

  standing(): StandingView {
    return standingOf(this, this.study, this.#now);
  }

  /** What comes next, in a word or a sentence. */
  next(): string {
    const { task } = this.standing();
    return task?.text ?? this.study.advice().view.step.text;
  }

  stage(name: string): StandingView['stages'][number] | undefined {
    return this.standing().stages.find(({ stage }) => stage === name);
  }

  /** Records lines as `log` does; throws what it refuses. */
  say(...lines: readonly string[]): this {
    for (const text of lines) {
      const say = admit(this.board, this.derived, text);
      checkStage(keeperOf(this.board, this.derived, this.purpose), say, text);
      this.#now += 30_000;
      const n = this.derived.history.events.length + 2;
      const event = {
        n,
        at: new Date(this.#now).toISOString(),
        say: printSay(this.board, say),
        line: n,
      };
      this.derived = extendJob(this.board, this.derived, event);
    }
    return this;
  }

  wait(minutes: number): void {
    this.#now += minutes * 60_000;
  }

  /** Does what comes next: the bench answers readings and looks, the first key everything else. */
  step(): Done {
    const standing = this.standing();
    const { stage, task } = standing;
    if (task?.kind === 'soak') this.wait(90);
    const lines = task === undefined ? this.#benchLines() : (task.answers[0]?.say ?? []);
    this.say(...lines);
    const done = { stage, kind: task?.kind ?? 'bench', said: lines };
    this.done.push(done);
    return done;
  }

  #benchLines(): string[] {
    const { raw } = this.study.advice();
    if (raw.step.kind === 'done') throw new Error(`no way on: ${raw.why}`);
    return benchPlayer(this.board, this.bench).act(raw.step, this.derived.evidence.state);
  }

  /** Goes on until a task of that kind is next. */
  until(kind: string): this {
    for (let count = 0; count < MOST_STEPS; count += 1) {
      if (this.standing().task?.kind === kind) return this;
      this.step();
    }
    throw new Error(`"${kind}" never came; the last was ${JSON.stringify(this.done.at(-1))}`);
  }

  /** All that was recorded, a line each. */
  said(): string {
    return this.derived.history.events.map(({ say }) => say).join('\n');
  }

  /** Names of the parts that were renewed. */
  renewed(): string[] {
    return this.derived.replaced.map(({ part }) => this.board.parts[part]?.name ?? '?');
  }

  /** Stages that are through: done, or left out with a reason. */
  through(): string[] {
    return this.standing()
      .stages.filter(({ state }) => state === 'done' || state === 'skipped')
      .map(({ stage }) => stage);
  }

  /** The kinds of work done, neighbours that are alike told once. */
  order(): string[] {
    return this.done.flatMap(({ kind }, at) => (this.done[at - 1]?.kind === kind ? [] : [kind]));
  }
}
