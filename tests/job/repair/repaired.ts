import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import type { BoardState } from '../../../src/circuit/state.ts';
import type { Suspect } from '../../../src/faults/diagnosis.ts';
import { deriveJob } from '../../../src/job/derive.ts';
import type { JobPurpose } from '../../../src/job/event-line.ts';
import { repairList } from '../../../src/job/repair/list.ts';
import type { Reason, RepairItem, RepairList } from '../../../src/job/repair/model.ts';
import { analyse, openWorkbench, type Workbench } from '../../../src/steps/advise.ts';
import { events } from '../events.ts';

export const SHIPPED = ['hoist-drive', 'bypass-rail', 'bench-flyback'] as const;

export function shipped(name: string): Board {
  const path = fileURLToPath(new URL(`../../../boards/${name}.yaml`, import.meta.url));
  return loadBoard(readFileSync(path, 'utf8'), path).board;
}

const workbenches = new WeakMap<Board, Workbench>();

function workbenchOf(board: Board): Workbench {
  const held = workbenches.get(board) ?? openWorkbench(board);
  workbenches.set(board, held);
  return held;
}

/** The repair list of a job that says these lines; its first event is number 2. */
export class Repaired {
  readonly board: Board;
  readonly list: RepairList;
  readonly state: BoardState;
  readonly suspects: readonly Suspect[];

  constructor(board: Board, says: readonly string[], purpose: JobPurpose = 'repair') {
    this.board = board;
    const job = deriveJob(board, events(...says));
    const analysis = analyse(workbenchOf(board), job.evidence);
    this.state = job.evidence.state;
    this.suspects = analysis.diagnosis.suspects;
    this.list = repairList(analysis, job, purpose);
  }

  item(name: string): RepairItem | undefined {
    const part = this.board.partNamed.get(name)?.index;
    return this.list.items.find((item) => item.part === part);
  }

  /** Why a part is on the list, in short: `failed`, `same bank`, `gate resistor`. */
  why(name: string): string[] {
    return (this.item(name)?.reasons ?? []).map(short);
  }

  names(items: readonly { readonly part: number }[]): string[] {
    return items.map(({ part }) => this.board.parts[part]?.name ?? '?');
  }

  /** Names of the parts still to be renewed. */
  get open(): string[] {
    return this.names(
      this.list.items.filter((item) => item.need === 'sure' && item.doneAt === undefined),
    );
  }

  get inCase(): string[] {
    return this.names(this.list.items.filter(({ need }) => need === 'in case'));
  }

  get done(): string[] {
    return this.names(this.list.items.filter(({ doneAt }) => doneAt !== undefined));
  }
}

function short(reason: Reason): string {
  if (reason.why === 'neighbour') return reason.role;
  return reason.why === 'refurbishment' ? reason.because : reason.why;
}
