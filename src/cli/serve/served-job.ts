import type { SimulatedBench } from '../../bench/simulated-bench.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import type { Evidence } from '../../faults/evidence.ts';
import { type Study, studyInTurns } from '../study.ts';
import type { RecordedLine, Work } from '../work.ts';
import { CODE, RpcError } from './rpc.ts';

/** A job that a caller has opened. */
export class ServedJob {
  readonly number: number;
  readonly work: Work;
  /** Where it is a drill: the simulated board. */
  readonly drill: SimulatedBench | undefined;
  #known: Study | undefined;

  constructor(number: number, work: Work, drill?: SimulatedBench) {
    this.number = number;
    this.work = work;
    this.drill = drill;
  }

  /** What is known by now, or was by earlier evidence; the last answer is kept. */
  async study(
    board: Board = this.work.board,
    evidence: Evidence = this.work.derived.evidence,
  ): Promise<Study> {
    const held = this.#known;
    const { workbench, evidence: of } = held?.analysis ?? {};
    if (held !== undefined && of === evidence && workbench?.board === board) return held;
    const study = await studyInTurns(board, evidence);
    this.#known = study;
    return study;
  }

  /** Records lines; an error then tells what of them is in the record all the same. */
  record(lines: readonly string[]): readonly RecordedLine[] {
    const before = this.work.derived.history.events.length;
    try {
      return this.work.record(lines);
    } catch (error) {
      const kept = this.work.derived.history.events.slice(before);
      if (kept.length === 0) throw error;
      throw afterRecording(
        error,
        kept.map(({ n, say }) => ({ n, say })),
      );
    }
  }
}

/** An error that came after something had been recorded, which stands. */
export function afterRecording(error: unknown, recorded: readonly RecordedLine[]): RpcError {
  const plain = rpcErrorOf(error);
  return new RpcError(plain.code, plain.message, plain.diagnostics, { ...plain.more, recorded });
}

/** Any error as the caller is told of it. */
export function rpcErrorOf(error: unknown): RpcError {
  if (error instanceof RpcError) return error;
  if (error instanceof InputError) {
    const { diagnostics } = error;
    const codes = new Set(diagnostics.map(({ code }) => code));
    const code = codes.has('JOB_HELD')
      ? CODE.held
      : codes.has('FILE_PROBLEM')
        ? CODE.disk
        : CODE.refused;
    const [first] = diagnostics;
    const more = diagnostics.length > 1 ? ` (and ${diagnostics.length - 1} more)` : '';
    return new RpcError(code, `${first?.message ?? 'refused'}${more}`, diagnostics);
  }
  const message = error instanceof Error ? error.message : String(error);
  return new RpcError(CODE.ownFault, `a fault of trace-short itself: ${message}`);
}
