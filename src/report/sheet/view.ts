/** The sheet of a job: one view, from which every form of it is written. */
import { harmless } from '../../board/shown-text.ts';
import { type DerivedJob, deriveJob } from '../../job/derive.ts';
import { findings } from '../../job/findings.ts';
import { gates } from '../../job/gates.ts';
import { powerPlan } from '../../job/power-plan.ts';
import { type HealthyParts, recheck } from '../../job/recheck.ts';
import type { RawJob } from '../../job/record.ts';
import { soakingUpTo, WORK_STAGES, type WorkStage, workStages } from '../../job/stage-of.ts';
import { AWAY_MINUTES, timeSpent } from '../../job/time-spent.ts';
import { jointsTouched, replacedParts } from '../../job/work-done.ts';
import { type Analysis, analyse, healthyBoard, type Workbench } from '../../steps/advise.ts';
import { healthyLegOhms } from '../../steps/own-legs.ts';
import { type CautionsView, viewCautions } from '../cautions.ts';
import { type RecheckView, viewRecheck } from '../recheck.ts';
import type { StageView } from '../standing.ts';
import { type ArrivalView, type PhotoState, viewArrival } from './arrival.ts';
import { type FoundView, viewFound } from './found.ts';
import { type InjectionRunView, viewInjections } from './injections.ts';
import { timeText } from './names.ts';
import { notDone } from './not-done.ts';
import { type PowerView, viewPower } from './power.ts';
import { viewWork, type WorkView } from './work.ts';

export interface SheetView {
  readonly board: string;
  readonly revision?: string;
  /** Name of the job file, and when it was opened and last written. */
  readonly job: string;
  readonly opened: string;
  readonly lastEvent: string;
  readonly events: number;
  readonly takenBack: number;
  readonly purpose: 'repair' | 'refurbish';
  readonly meter: string;
  readonly end: EndView;
  readonly arrival: ArrivalView;
  readonly found: FoundView;
  readonly readings: RecheckView;
  /** Only where a current was injected. */
  readonly injections?: readonly InjectionRunView[];
  readonly work: WorkView;
  readonly power: PowerView;
  readonly time: TimeView;
  /** Only where the shop states prices or a rate. */
  readonly cost?: CostView;
  /** What holds for first power since the last change, and what does not. */
  readonly gates: readonly {
    readonly name: string;
    readonly holds: boolean;
    readonly needs: readonly string[];
  }[];
  readonly notDone: readonly string[];
  readonly notes: readonly { readonly event: number; readonly text: string }[];
  readonly cautions: CautionsView;
}

export interface StageRow {
  readonly stage: WorkStage;
  /** Minutes at the bench; 0 where nothing was done. */
  readonly minutes: number;
  readonly state?: StageView['state'];
  /** For a stage left out the reason. */
  readonly needs: readonly string[];
}

/** How the job ended; `open` while it has not. */
export interface EndView {
  readonly result: 'cleared' | 'returned' | 'uneconomic' | 'open';
  readonly event?: number;
  readonly at?: string;
  readonly text?: string;
}

export interface TimeView {
  /** In the order a job goes through them; with what it still needs where that was worked out. */
  readonly stages: readonly StageRow[];
  readonly minutes: number;
  readonly breaks: number;
  readonly awayMinutes: number;
  /** A longer stretch without an event counts as time away, min. */
  readonly awayAfter: number;
}

/** What the job cost, by the prices and the rate of the shop. */
export interface CostView {
  readonly currency: string;
  readonly parts: number;
  /** Of the minutes at the bench, time away left out, a soak's as well; absent without a rate. */
  readonly time?: number;
  readonly unpriced: readonly string[];
}

export interface SheetOptions {
  /** How each stage stands; without it the sheet tells their time alone. */
  readonly stages?: readonly StageView[];
  readonly cost?: CostView;
  /** Whether the readings before an event accused a joint of being open. */
  readonly isAccused?: (pin: number, before: number) => boolean;
  /** Whether the picture of a photo can be shown; without it photos are named as missing. */
  readonly photoState?: (file: string) => PhotoState;
  /** Minutes without an event that count as time away; default {@link AWAY_MINUTES}. */
  readonly awayAfter?: number;
}

/** Everything the sheet of a job tells. */
export function viewSheet(
  workbench: Workbench,
  record: RawJob,
  job: DerivedJob,
  options: SheetOptions = {},
): SheetView {
  const { photoState = () => 'missing', awayAfter = AWAY_MINUTES } = options;
  const { board } = workbench;
  const healthy = healthyParts(workbench);
  const plan = powerPlan(workbench.bench.circuit);
  const compared = recheck(board, job, healthy);
  const found = findings(board, job, healthy);
  const replaced = replacedParts(board, job, { findings: found, parts: compared.parts });
  const joints = jointsTouched(board, job, options.isAccused);
  const held = gates(board, job, healthy);
  const injections = viewInjections(board, job);
  const known = { board, job, replaced, joints };
  const { revision } = board;
  return {
    board: harmless(board.name),
    ...(revision === undefined ? {} : { revision: harmless(revision) }),
    job: harmless(record.path.replace(/^.*[\\/]/, '')),
    opened: timeText(record.openedAt),
    lastEvent: timeText(record.events.at(-1)?.at ?? record.openedAt),
    events: record.events.length + 1,
    takenBack: job.history.undone.length,
    purpose: record.opening.purpose,
    meter: harmless(workbench.bench.meter.name),
    end: viewEnd(job),
    arrival: viewArrival(board, job, photoState),
    found: viewFound({
      ...known,
      findings: found,
      recheck: compared,
      analysis: analyse(workbench, job.evidence),
      analysisAt: analysesOf(workbench, job),
    }),
    readings: viewRecheck(board, compared),
    ...(injections.length === 0 ? {} : { injections }),
    work: viewWork({ ...known, handled: compared.parts }),
    power: viewPower(board, job, plan),
    time: viewTime(record, job, awayAfter, options.stages),
    ...(options.cost === undefined ? {} : { cost: options.cost }),
    gates: held.map(({ name, holds, needs }) => ({
      name: harmless(name),
      holds,
      needs: needs.map(harmless),
    })),
    notDone: notDone(board, job, { gates: held, recheck: compared, plan }),
    notes: job.active.flatMap(({ event, say }) =>
      say.do === 'note' ? [{ event: event.n, text: harmless(say.text) }] : [],
    ),
    cautions: viewCautions(board),
  };
}

/** What the readings up to an event said, each worked out once. */
function analysesOf(workbench: Workbench, job: DerivedJob): (event: number) => Analysis {
  const standing = job.active.map(({ event }) => event);
  const held = new Map<number, Analysis>();
  return (event) => {
    const events = standing.filter(({ n }) => n <= event);
    const known = held.get(events.length);
    if (known !== undefined) return known;
    const made = analyse(workbench, deriveJob(workbench.board, events).evidence);
    held.set(events.length, made);
    return made;
  };
}

function healthyParts(workbench: Workbench): HealthyParts {
  const legOhms = (part: number, a: number, b: number): number =>
    healthyLegOhms(workbench, part, a, b);
  return { ...healthyBoard(workbench), legOhms };
}

function viewEnd({ signOff }: DerivedJob): EndView {
  if (signOff === undefined) return { result: 'open' };
  const { result, event, at, text } = signOff;
  const words = text === undefined ? {} : { text: harmless(text) };
  return { result, event, at: timeText(at), ...words };
}

function viewTime(
  record: RawJob,
  job: DerivedJob,
  awayAfter: number,
  standing: readonly StageView[] = [],
): TimeView {
  const stages = workStages(job);
  const soaking = soakingUpTo(job);
  const spent = timeSpent(record.openedAt, record.events, {
    awayAfter,
    stageOf: (n) => stages.get(n),
    countsWhole: (n) => soaking.has(n),
  });
  return {
    stages: WORK_STAGES.map((stage): StageRow => {
      const { state, needs = [] } = standing.find((one) => one.stage === stage) ?? {};
      const minutes = spent.byStage.get(stage) ?? 0;
      // Worked at, and nothing of it is open: other readings made it needless.
      const wasDone = state === 'not begun' && minutes > 0 && needs.length === 0;
      return {
        stage,
        minutes,
        needs,
        ...(state === undefined ? {} : { state: wasDone ? 'done' : state }),
      };
    }),
    minutes: spent.minutes,
    breaks: spent.breaks,
    awayMinutes: spent.awayMinutes,
    awayAfter,
  };
}
