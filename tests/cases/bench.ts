import { readFileSync } from 'node:fs';
import { SimulatedBench, type SimulationOptions } from '../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { type Played, playAlone } from '../../src/cli/drill/auto.ts';
import { benchPlayer } from '../../src/cli/drill/bench-player.ts';
import { drillWork } from '../../src/cli/drill/drill-work.ts';
import { type DerivedJob, deriveJob } from '../../src/job/derive.ts';
import {
  type Analysis,
  advise,
  analyse,
  openWorkbench,
  type Workbench,
} from '../../src/steps/advise.ts';
import type { Advice } from '../../src/steps/step.ts';

export function shippedBoard(name: string): Board {
  const file = `boards/${name}.yaml`;
  return loadBoard(readFileSync(new URL(`../../${file}`, import.meta.url), 'utf8'), file).board;
}

/** A board with what is concluded from lines of the notation. */
export class Job {
  readonly board: Board;
  readonly workbench: Workbench;

  constructor(board: Board) {
    this.board = board;
    this.workbench = openWorkbench(board);
  }

  derive(says: readonly string[]): DerivedJob {
    const events = says.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
    const derived = deriveJob(this.board, events);
    if (derived.problems.length > 0) throw new Error(derived.problems.map((p) => p.message).join());
    return derived;
  }

  after(says: readonly string[]): Analysis {
    return analyse(this.workbench, this.derive(says).evidence);
  }

  next(says: readonly string[]): Advice {
    return advise(this.after(says));
  }

  part(name: string): number {
    return this.board.partNamed.get(name)?.index ?? -1;
  }

  net(name: string): number {
    return this.board.netNamed.get(name)?.index ?? -1;
  }

  names(parts: readonly number[]): string[] {
    return parts.map((part) => this.board.parts[part]?.name ?? '?');
  }

  weightOf(analysis: Analysis, name: string): number {
    const part = this.part(name);
    return analysis.diagnosis.suspects.find((s) => s.part === part)?.weight ?? 0;
  }
}

/** Plays a board with these faults hidden, to the end, as `drill --auto` does. */
export function play(
  board: Board,
  these: NonNullable<SimulationOptions['these']>,
  options: { seed?: number; slipRatio?: number } = {},
): { played: Played; job: DerivedJob; replaced: string[] } {
  const bench = new SimulatedBench(board, { seed: 1, faults: 0, these, ...options });
  const work = drillWork(board, 'test');
  const played = playAlone(work, benchPlayer(board, bench), () => {});
  const replaced = [...work.derived.evidence.state.piece.keys()];
  return { played, job: work.derived, replaced: replaced.map((p) => board.parts[p]?.name ?? '?') };
}
