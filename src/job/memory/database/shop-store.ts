/**
 * The memory of a shop with several benches, as one bench has it: its own records are handed in to a database,
 * what all benches handed in comes back as sums. Nothing is queued: what waits is what the records teach and the
 * database has not taken yet, so that a run cut short anywhere neither loses a job nor counts one twice.
 */
import { join } from 'node:path';
import { InputError } from '../../../board/diagnostic.ts';
import { harmless } from '../../../board/shown-text.ts';
import { type Desk, NODE_DESK } from '../../disk.ts';
import type { ChangedFile } from '../folder-now.ts';
import { type FolderStore, MEMORY_FOLDER } from '../folder-store.ts';
import type { Lesson } from '../lesson.ts';
import { modelName } from '../models.ts';
import type { Past } from '../past.ts';
import type { MemoryRules } from '../rules.ts';
import type { BoardName, MemoryStore } from '../store.ts';
import { BenchFiles, type TakenFile } from './bench-files.ts';
import { asOfOthers, pastFrom } from './counts.ts';
import { DatabaseStore, sumOfLesson } from './database-store.ts';
import type { Link } from './link.ts';
import { isUnfit, ShopAway } from './link-problem.ts';

/** So often what was handed in is written down while many jobs are. */
const KEEP_EVERY = 200;

export interface ShopMemory {
  /** The bench's own records. */
  readonly local: FolderStore;
  /** Their folder. */
  readonly folder: string;
  readonly link: Link;
  /** Told what a person should know. */
  readonly note?: (text: string) => void;
  readonly desk?: Desk;
}

/** A record that the database has not taken as it is. */
type NewFile = Required<ChangedFile>;

/** What came of handing in. */
export interface HandedIn {
  /** Jobs that the database took now, whether it knew them already or not. */
  readonly taken: number;
  readonly waiting: number;
  /** Why the rest waits. */
  readonly problem?: ShopAway | InputError;
}

export interface ShopStore extends MemoryStore {
  /** Hands in whatever the database does not have yet, as far as it can be reached. */
  handIn(): Promise<HandedIn>;
  /** The same, where nothing hangs on it: what is not taken is told. */
  handInQuietly(): Promise<void>;
}

/** The memory that all benches of a shop share, as one of them has it. */
export function shopStore(memory: ShopMemory): ShopStore {
  return new BenchStore(memory);
}

class BenchStore implements ShopStore {
  readonly #local: FolderStore;
  readonly #database: DatabaseStore;
  readonly #files: BenchFiles;
  readonly #note: NonNullable<ShopMemory['note']>;
  readonly #desk: Desk;

  constructor({ local, folder, link, note, desk = NODE_DESK }: ShopMemory) {
    this.#local = local;
    this.#database = new DatabaseStore(link);
    this.#files = new BenchFiles(join(folder, MEMORY_FOLDER), link.address.shown, desk);
    this.#note = note ?? (() => undefined);
    this.#desk = desk;
  }

  /** Never waits long for the database: a bench whose network is away works on from its last copy. */
  async past(board: BoardName, rules: MemoryRules): Promise<Past | undefined> {
    const handed = await this.handIn();
    try {
      this.#noteWaiting(handed);
      const rows = await this.#database.sums(board);
      const taken = this.#desk.now().toISOString();
      this.#files.keepCopy({ model: modelName(board), taken, rows });
      return pastFrom(rows);
    } catch (error) {
      if (!(error instanceof ShopAway)) throw error;
      return this.#pastWithout({ ...handed, problem: error }, board, rules);
    }
  }

  models() {
    return this.#upToDate(() => this.#database.models());
  }

  lessonsOf(model: string) {
    return this.#orRefuse(() => this.#database.lessonsOf(model));
  }

  lessons() {
    return this.#upToDate(() => this.#database.lessons());
  }

  knows(job: string) {
    return this.#upToDate(() => this.#database.knows(job));
  }

  names() {
    return this.#upToDate(() => this.#database.names());
  }

  corrections() {
    return this.#orRefuse(() => this.#database.corrections());
  }

  forget(job: string) {
    return this.#orRefuse(() => this.#database.forget(job));
  }

  recall(job: string) {
    return this.#orRefuse(() => this.#database.recall(job));
  }

  merge(name: string, same: string) {
    return this.#orRefuse(() => this.#database.merge(name, same));
  }

  /** The bench's own records are read and handed in anew; the database adds all jobs up anew. */
  async rebuild(): Promise<void> {
    await this.#local.rebuild();
    this.#files.keepHandedIn(new Map());
    await this.#upToDate(() => this.#database.recount());
  }

  async handIn(): Promise<HandedIn> {
    const taken = this.#files.handedIn();
    const { news, still } = await this.#newsBeside(taken);
    for (const [file, held] of still) taken.set(file, held);
    let done = 0;
    try {
      for (const { file, stamp, lesson } of news) {
        taken.set(file, await this.#handedIn(file, stamp, lesson));
        done += 1;
        if (done % KEEP_EVERY === 0) this.#files.keepHandedIn(taken);
      }
      return { taken: done, waiting: 0 };
    } catch (problem) {
      if (!(problem instanceof ShopAway || problem instanceof InputError)) throw problem;
      return { taken: done, waiting: news.length - done, problem };
    } finally {
      if (done + still.length > 0) this.#files.keepHandedIn(taken);
    }
  }

  async handInQuietly(): Promise<void> {
    const handed = await this.handIn();
    try {
      this.#noteWaiting(handed);
    } catch (error) {
      if (!(error instanceof ShopAway)) throw error;
      this.#note(`${this.#awayText(error)}${waitingText(handed.waiting)}.`);
    }
  }

  /** One that can never be kept is told once, and stands in nobody's way. */
  async #handedIn(file: string, stamp: string, lesson: Lesson): Promise<TakenFile> {
    try {
      await this.#database.handIn(lesson);
      return { stamp, sum: sumOfLesson(lesson) };
    } catch (error) {
      if (!isUnfit(error)) throw error;
      this.#note(
        `What "${harmless(file)}" teaches is left out of the shop's memory: ${error.message}`,
      );
      return { stamp };
    }
  }

  /** Records that changed since they were taken: those that teach something new, oldest first, and the others. */
  async #newsBeside(taken: ReadonlyMap<string, TakenFile>): Promise<{
    readonly news: readonly NewFile[];
    readonly still: readonly (readonly [file: string, held: TakenFile])[];
  }> {
    const stamps = new Map([...taken].map(([file, { stamp }]) => [file, stamp]));
    const news: NewFile[] = [];
    const still: [string, TakenFile][] = [];
    for (const { file, stamp, lesson } of await this.#local.since(stamps)) {
      const held = taken.get(file)?.sum;
      if (lesson === undefined) still.push([file, { stamp }]);
      else if (held === sumOfLesson(lesson)) still.push([file, { stamp, sum: held }]);
      else news.push({ file, stamp, lesson });
    }
    // The oldest first, so that few places among a model's jobs have to change.
    news.sort((x, y) => (x.lesson.at < y.lesson.at ? -1 : x.lesson.at > y.lesson.at ? 1 : 0));
    return { news, still };
  }

  async #pastWithout(
    { problem, waiting }: HandedIn,
    board: BoardName,
    rules: MemoryRules,
  ): Promise<Past | undefined> {
    const model = modelName(board);
    const own = this.#files.copyOf(model);
    const copy = own ?? this.#files.lastCopy();
    const from =
      copy === undefined
        ? "working from this bench's own records"
        : `working from the copy of ${copy.taken.slice(0, 16).replace('T', ' ')} UTC`;
    this.#note(`${this.#awayText(problem)}: ${from}${waitingText(waiting)}.`);
    if (copy === undefined) return this.#local.past(board, rules);
    return pastFrom(own === undefined ? asOfOthers(copy.rows) : copy.rows);
  }

  /**
   * Tells what the database does not take.
   * @throws {ShopAway} when it cannot be asked anything else either
   */
  #noteWaiting({ problem, waiting }: HandedIn): void {
    if (problem === undefined) return;
    if (problem instanceof InputError) {
      for (const { message, hint } of problem.diagnostics) {
        this.#note(hint === undefined ? message : `${message} (${hint})`);
      }
      this.#note(`${counted(waiting)} to be handed in.`);
      return;
    }
    if (problem.how !== 'full') throw problem;
    const { shown } = this.#database.link.address;
    this.#note(
      `The shop's memory at ${shown} takes nothing in (${problem.why})${waitingText(waiting)}.`,
    );
  }

  #awayText(problem: HandedIn['problem']): string {
    const { shown } = this.#database.link.address;
    const why = problem instanceof ShopAway ? ` (${problem.why})` : '';
    return `The shop's memory at ${shown} cannot be reached${why}`;
  }

  /** Asks once the bench's own records are handed in; what the database does not take is told. */
  #upToDate<T>(ask: () => Promise<T>): Promise<T> {
    return this.#orRefuse(async () => {
      const handed = await this.handIn();
      this.#noteWaiting(handed);
      return ask();
    });
  }

  async #orRefuse<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      throw error instanceof ShopAway ? this.#refusal(error) : error;
    }
  }

  #refusal(error: ShopAway): InputError {
    return new InputError([
      {
        code: 'SHOP_AWAY',
        severity: 'error',
        message: this.#awayText(error),
        hint: 'try again when it can; jobs go on meanwhile, and are handed in then',
      },
    ]);
  }
}

function waitingText(waiting: number): string {
  return waiting === 0 ? '' : `; ${counted(waiting)} to be handed in`;
}

function counted(waiting: number): string {
  return waiting === 1 ? '1 job waits' : `${waiting} jobs wait`;
}
