import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { DerivedJob } from '../job/derive.ts';
import { type FunctionState, functionStates } from '../job/function-checks.ts';
import type { Gate } from '../job/gates.ts';
import type { PlanStage, PowerPlan, StageFeed } from '../job/power-plan.ts';
import {
  nextStage,
  type PoweredReading,
  powerStages,
  type StageProgress,
  type StageState,
  type Verdict,
} from '../job/power-progress.ts';
import type { FeedKind } from '../job/rail-feeds.ts';
import { netName, partName, partNames } from './names.ts';

/** The power-up plan with how far it has come, in names: what is shown, and what `--json` prints. */
export interface PowerView {
  readonly board: string;
  /** True when every gate holds; the plan may be looked at before, not worked by. */
  readonly ready: boolean;
  /** Gates that do not hold, with what each still needs. */
  readonly missing: readonly Gate[];
  /** How many hold. */
  readonly held: number;
  readonly isDangerous: boolean;
  /** True when a rail was last read out of its range, or last drew more than its limit. */
  readonly isAmiss: boolean;
  readonly stages: readonly StageView[];
  /** Number of the stage to be worked at; none when all are passed. */
  readonly next?: number;
  readonly functions: readonly FunctionState[];
  /** A part hotter than this, °C, ends the stage. */
  readonly hotCelsius: number;
}

export interface StageView {
  readonly number: number;
  readonly rails: readonly string[];
  readonly state: StageState;
  readonly event?: number;
  readonly words?: string;
  readonly feed: FeedView;
  readonly steps: readonly StepView[];
  readonly reads: readonly ReadView[];
  /** What its resistors draw at full voltage, A; absent when not told. */
  readonly known?: {
    readonly amps: number;
    readonly volts: number;
    readonly through: readonly string[];
  };
  readonly cool: readonly string[];
  readonly warm: readonly { readonly part: string; readonly watts: number }[];
  readonly joules: number;
  readonly bleed?: { readonly ohms: number; readonly seconds: number };
  readonly readings: readonly PoweredView[];
  /** Rails not read yet as they should be at full voltage. */
  readonly unread: readonly string[];
}

export type FeedView =
  | {
      readonly how: 'mains' | 'dc' | 'bench';
      /** V; absent when the board file does not say. */
      readonly volts?: number;
      readonly rail: string;
      /** The rail's nets and handy places on them. */
      readonly plus: { readonly net: string; readonly at: string };
      readonly minus: { readonly net: string; readonly at: string };
      readonly plugs: readonly string[];
      readonly isApart: boolean;
      readonly lampWatts?: number;
      readonly lampAmps?: number;
      readonly fuseAmps?: number;
    }
  | {
      /** `unknown`: nothing tells what feeds those that `from` does not name. */
      readonly how: 'board' | 'unknown';
      readonly from: readonly {
        readonly to: readonly string[];
        readonly rails: readonly string[];
        readonly kind: FeedKind;
        readonly through: readonly string[];
        readonly isSure: boolean;
      }[];
    };

export interface StepView {
  /** Share of the full voltage, 0–1. */
  readonly share: number;
  readonly volts?: number;
  readonly limitAmps?: number;
  readonly isWithoutLamp?: boolean;
  readonly chargeSeconds?: number;
}

/** One rail to be read, with what is expected at each step in turn. */
export interface ReadView {
  readonly rail: string;
  readonly red: string;
  readonly black: string;
  readonly isMains: boolean;
  readonly mayBeOff: boolean;
  readonly expected: readonly {
    readonly share: number;
    readonly volts?: number;
    readonly least?: number;
    readonly most?: number;
  }[];
}

export interface PoweredView {
  readonly event: number;
  readonly rail: string;
  readonly volts?: number;
  readonly amps?: number;
  readonly verdict: Verdict;
  readonly share?: number;
  readonly least?: number;
  readonly most?: number;
}

/** Past this a part of an idle board is too hot, °C: default, well below what parts are rated for. */
export const HOT_CELSIUS = 60;

/** @param checks the shop's own function checks, in their order */
export function viewPowerPlan(
  board: Board,
  plan: PowerPlan,
  job: DerivedJob,
  gates: readonly Gate[],
  checks: readonly string[] = [],
): PowerView {
  const stages = powerStages(board, plan, job);
  const missing = gates.filter(({ holds }) => !holds);
  const next = nextStage(stages)?.stage.number;
  return {
    board: harmless(board.name),
    ready: missing.length === 0,
    missing,
    held: gates.length - missing.length,
    isDangerous: plan.isDangerous,
    isAmiss: stages.some(({ readings }) => isAmiss(readings)),
    stages: stages.map((stage) => viewStage(board, plan, job, stage)),
    ...(next === undefined ? {} : { next }),
    functions: functionStates(checks, job),
    hotCelsius: HOT_CELSIUS,
  };
}

const AMISS: ReadonlySet<Verdict> = new Set(['low', 'high', 'reversed', 'over']);

/** By the last voltage and the last current of each rail. */
function isAmiss(readings: readonly PoweredReading[]): boolean {
  const last = new Map(
    readings.map(({ rail, amps, verdict }) => [`${rail} ${amps === undefined}`, verdict]),
  );
  return [...last.values()].some((verdict) => AMISS.has(verdict));
}

function viewStage(
  board: Board,
  plan: PowerPlan,
  job: DerivedJob,
  { stage, state, event, text, readings, unread }: StageProgress,
): StageView {
  const { number, rails, steps, load, joules, bleed } = stage;
  const volts = steps.at(-1)?.volts ?? board.rails[rails[0] ?? -1]?.volts;
  return {
    number,
    rails: rails.map((rail) => railName(board, rail)),
    state,
    ...(event === undefined ? {} : { event }),
    ...(text === undefined ? {} : { words: harmless(text) }),
    feed: viewFeed(board, plan, stage.feed, stage),
    steps: stage.feed.how === 'source' ? steps.map(({ checks: _, ...step }) => tidy(step)) : [],
    reads: viewReads(board, stage),
    ...(load === undefined || volts === undefined
      ? {}
      : {
          known: { ...tidy({ amps: load.amps, volts }), through: partNames(board, load.through) },
        }),
    cool: partNames(board, watched(stage, job)),
    warm: (load?.heated ?? []).map(({ part, watts }) =>
      tidy({ part: partName(board, part), watts }),
    ),
    ...tidy({ joules }),
    ...(bleed === undefined ? {} : { bleed: tidy(bleed) }),
    readings: readings.map((reading) => viewReading(board, reading)),
    unread: unread.map((rail) => railName(board, rail)),
  };
}

/** Parts fitted in this job come first. */
function watched({ cool }: PlanStage, job: DerivedJob): number[] {
  const fitted = new Set(job.replaced.map(({ part }) => part));
  return [...cool.filter((part) => fitted.has(part)), ...cool.filter((part) => !fitted.has(part))];
}

function viewFeed(board: Board, plan: PowerPlan, feed: StageFeed, stage: PlanStage): FeedView {
  if (feed.how !== 'source') {
    const from = feed.feeds.map(({ from: group, to, kind, through, isSure }) => ({
      to: (plan.groups[to] ?? []).map((rail) => railName(board, rail)),
      rails: (plan.groups[group] ?? []).map((rail) => railName(board, rail)),
      kind,
      through: partNames(board, through),
      isSure,
    }));
    return { how: feed.how, from };
  }
  const { source, rail, plugs, isApart } = feed;
  const { isMains, isDangerous, volts, lampWatts, lampAmps, fuseAmps } = source;
  const known = board.rails[rail];
  const [plusAt = '', minusAt = ''] =
    stage.steps[0]?.checks.find((each) => each.rail === rail)?.at ?? [];
  return {
    how: isMains ? 'mains' : isDangerous ? 'dc' : 'bench',
    ...(volts === undefined ? {} : { volts }),
    rail: railName(board, rail),
    plus: { net: netName(board, known?.plus ?? -1), at: harmless(plusAt) },
    minus: { net: netName(board, known?.minus ?? -1), at: harmless(minusAt) },
    plugs: plugs.map((plug) => plugName(board, plug)),
    isApart,
    ...(lampWatts === undefined ? {} : { lampWatts }),
    ...(lampAmps === undefined ? {} : { lampAmps }),
    ...(fuseAmps === undefined ? {} : { fuseAmps }),
  };
}

/** `J1 (1 IN48, 2 GND)`; a connector of many pins goes by its name alone. */
function plugName(board: Board, plug: number): string {
  const pins = board.parts[plug]?.pins ?? [];
  const name = partName(board, plug);
  if (pins.length > 4) return name;
  const each = pins.map(
    (pin) => `${board.pins[pin]?.name} ${netName(board, board.pins[pin]?.net ?? -1)}`,
  );
  return `${name} (${harmless(each.join(', '))})`;
}

function viewReads(board: Board, { rails, steps }: PlanStage): ReadView[] {
  return rails.flatMap((rail) => {
    const checks = steps.flatMap((step) =>
      step.isWithoutLamp
        ? []
        : step.checks.filter((each) => each.rail === rail).map((check) => ({ step, check })),
    );
    const last = checks.at(-1)?.check;
    if (last === undefined) return [];
    return [
      {
        rail: railName(board, rail),
        red: harmless(last.at[0]),
        black: harmless(last.at[1]),
        isMains: last.isMains,
        mayBeOff: last.mayBeOff,
        expected: checks.map(({ step: { share }, check: { expected: volts, least, most } }) =>
          tidy({
            share,
            ...(volts === undefined ? {} : { volts }),
            ...(least === undefined ? {} : { least }),
            ...(most === undefined ? {} : { most }),
          }),
        ),
      },
    ];
  });
}

/** A reading under power with names in place of numbers. */
export function viewReading(
  board: Board,
  { rail, at: _, ...reading }: PoweredReading,
): PoweredView {
  return tidy({ ...reading, rail: railName(board, rail) });
}

/** The same with its numbers to four digits: more would be the computer's, not the bench's. */
function tidy<T extends object>(figures: T): T {
  const each = Object.entries(figures).map(([key, value]): [string, unknown] => [
    key,
    typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(4)) : value,
  ]);
  return Object.fromEntries(each) as T;
}

function railName(board: Board, rail: number): string {
  return harmless(board.rails[rail]?.name ?? '');
}
