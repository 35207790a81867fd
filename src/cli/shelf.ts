import { createHash } from 'node:crypto';
import { statSync } from 'node:fs';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { meterFrom } from '../circuit/meter-figures.ts';
import { isAcrossBoard } from '../circuit/reading.ts';
import { conducts, USUAL_TOLERANCE } from '../job/compare-values.ts';
import { boardOf, type DerivedJob, deriveJob } from '../job/derive.ts';
import { type Glance, glance } from '../job/glance.ts';
import { openJob, type RawJob } from '../job/record.ts';
import { DEFAULT_SHOP, type Shop } from '../job/shop/shop.ts';
import { type TimeSpent, timeSpent } from '../job/time-spent.ts';
import { healthyBoard, isClear } from '../steps/advise.ts';
import { isOfRepair, proofOf } from '../steps/proof.ts';
import { boardPathOf } from './board-path.ts';
import { openBoard } from './boards.ts';
import type { Context } from './context.ts';
import { printDiagnostics } from './diagnostics.ts';
import { boardAsSeen, gatesOf, powerPlanOf, useMeter, workbenchFor } from './engine.ts';
import { foldersIn, looksLikeJob, yamlIn } from './job-files.ts';
import { useReference } from './reference/use-reference.ts';
import { folderOf, shopInForce } from './shop.ts';

/** A job on a shelf, as far as it could be read. */
export type ShelvedJob =
  | {
      readonly is: 'job';
      readonly path: string;
      readonly job: RawJob;
      readonly board: Board;
      readonly derived: DerivedJob;
      readonly glance: Glance;
      readonly spent: TimeSpent;
    }
  /** The record is whole, its board is not to be had. */
  | {
      readonly is: 'boardless';
      readonly path: string;
      readonly job: RawJob;
      readonly spent: TimeSpent;
      readonly problem: Diagnostic;
    }
  | { readonly is: 'damaged'; readonly path: string; readonly problem: Diagnostic };

/**
 * Every job of a folder, in the order of their names; nothing that is wrong with one keeps the others
 * from being listed. Boards are read once each.
 * @param isDeep all folders below as well
 */
export async function readShelf(
  context: Context,
  folder: string,
  isDeep: boolean,
): Promise<ShelvedJob[]> {
  const files = isFolder(folder) ? foldersIn(folder, isDeep).flatMap(yamlIn) : [folder];
  const shelf = new Shelf(context);
  const jobs: ShelvedJob[] = [];
  for (const path of files) {
    if (looksLikeJob(path)) jobs.push(await shelf.read(path));
  }
  return jobs;
}

/** What jobs of one shelf share: boards, and what a healthy one reads. */
class Shelf {
  readonly #context: Context;
  readonly #boards = new Map<string, Board | InputError>();
  readonly #byMeter = new Map<string, Board>();
  readonly #told = new Set<string>();

  constructor(context: Context) {
    this.#context = context;
  }

  async read(path: string): Promise<ShelvedJob> {
    let job: RawJob;
    try {
      job = openJob(path);
    } catch (error) {
      return { is: 'damaged', path, problem: problemIn(error) };
    }
    const { awayAfter } = (await this.#shop(path)).thresholds;
    const spent = timeSpent(job.openedAt, job.events, { awayAfter });
    try {
      const board = await this.#board(boardPathOf(job));
      const derived = deriveJob(board, job.events, path);
      const own = await this.#boardOf(board, job);
      return {
        is: 'job',
        path,
        job,
        board: boardOf(board, derived),
        derived,
        glance: glanceAt(boardAsSeen(own, derived), derived, Date.now()),
        spent,
      };
    } catch (error) {
      return { is: 'boardless', path, job, spent, problem: problemIn(error) };
    }
  }

  /** Settings beside a job that cannot be read are told of once; a file that was named is an error. */
  async #shop(path: string): Promise<Shop> {
    try {
      return (await shopInForce(this.#context, folderOf(path))).shop;
    } catch (error) {
      if (!(error instanceof InputError) || this.#context.shop !== undefined) throw error;
      const untold = error.diagnostics.filter(({ place, message }) => {
        const key = `${place?.file}:${place?.line} ${message}`;
        return !this.#told.has(key) && this.#told.add(key);
      });
      printDiagnostics(this.#context, untold);
      return DEFAULT_SHOP;
    }
  }

  async #board(path: string): Promise<Board> {
    let held = this.#boards.get(path);
    if (held === undefined) {
      try {
        held = (await openBoard(this.#context, path)).board;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        held = error;
      }
      this.#boards.set(path, held);
    }
    if (held instanceof InputError) throw held;
    return held;
  }

  /** One board may be read with several meters: a copy for each, which keeps what was worked out of it. */
  async #boardOf(board: Board, { opening }: RawJob): Promise<Board> {
    const { meter, reference } = opening;
    const figures = JSON.stringify([meter, reference]);
    const key = createHash('sha256').update(`${board.digest}\n${figures}`).digest('hex');
    const held = this.#byMeter.get(key);
    if (held !== undefined) return held;
    const made = { ...board };
    useMeter(made, meterFrom(meter));
    await useReference(made, reference);
    this.#byMeter.set(key, made);
    return made;
  }
}

/**
 * A glance at a job; what it does not need of the board is not worked out.
 * @param now ms since 1970
 */
export function glanceAt(board: Board, derived: DerivedJob, now: number): Glance {
  return glance(board, derived, {
    gates: () => gatesOf(board, derived),
    isShorted: () => isShorted(board, derived),
    isRechecked: () => isRechecked(board, derived),
    powerStages: () => powerPlanOf(board).stages.length,
    now,
  });
}

function isRechecked(board: Board, { evidence }: DerivedJob): boolean {
  const proof = proofOf(board, evidence, healthyBoard(workbenchFor(board)));
  return proof.filter(isOfRepair).every(({ holds }) => holds);
}

/** Whether something read since the last change conducts that a healthy board keeps apart. */
function isShorted(board: Board, { evidence }: DerivedJob): boolean {
  const workbench = workbenchFor(board);
  return evidence.readings.some(
    (reading) =>
      isAcrossBoard(reading) &&
      reading.id > evidence.lastChange &&
      conducts(reading, USUAL_TOLERANCE) &&
      !isClear(workbench, reading),
  );
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    const message = `"${path}": there is no such folder`;
    throw new InputError([{ code: 'FILE', severity: 'error', message }]);
  }
}

/** The first thing wrong; anything but a fault of the input is ours, and is thrown on. */
function problemIn(error: unknown): Diagnostic {
  const first = error instanceof InputError ? error.diagnostics[0] : undefined;
  if (first === undefined) throw error;
  return first;
}
