import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { DerivedJob } from '../job/derive.ts';
import { fullChecks, type PowerPlan } from '../job/power-plan.ts';
import { type Gap, type SoakStage, type SoakState, soakState } from '../job/soak.ts';
import { mostCelsius, soakWatch, type WatchReason } from '../job/soak-watch.ts';
import { partName } from './names.ts';

/** The soak of a job in names: what is shown, and what `--json` prints. Times in seconds. */
export interface SoakView {
  readonly board: string;
  readonly state: SoakStage;
  /** ISO time of the start. */
  readonly startedAt?: string;
  readonly seconds: number;
  readonly elapsed: number;
  readonly left: number;
  /** How many, and seconds since the start of the last one. */
  readonly observations: number;
  readonly lastAfter?: number;
  /** Seconds between observations, and until the next is due; below 0 when it is overdue. */
  readonly every: number;
  readonly dueIn?: number;
  readonly findings: readonly string[];
  /** Stretches nobody observed. */
  readonly gaps: readonly Gap[];
  readonly needs: readonly string[];
  readonly words?: string;
  readonly isShort: boolean;
  /** Parts to take temperatures of. */
  readonly watch: readonly WatchView[];
  /** Rails to read. */
  readonly rails: readonly SoakRail[];
  /** True when something was seen too hot or out of range. */
  readonly isAmiss: boolean;
}

export interface WatchView {
  readonly part: string;
  readonly why: WatchReason | 'seen';
  /** °C it should not pass. */
  readonly most: number;
  readonly celsius?: number;
  /** Seconds since the start. */
  readonly after?: number;
  readonly isTooHot: boolean;
}

export interface SoakRail {
  readonly rail: string;
  /** Points as the notation takes them. */
  readonly red: string;
  readonly black: string;
  readonly expected?: number;
  readonly least?: number;
  readonly most?: number;
  readonly volts?: number;
  readonly after?: number;
  readonly isOut: boolean;
}

/** Whether the board is under power for it: begun, and neither passed nor stopped. */
export function isOn({ state }: Pick<SoakView, 'state'>): boolean {
  return state === 'running' || state === 'time is up';
}

/** When it is, and how often the shop looks at a soak. */
export interface SoakClock {
  /** As `Date.now()`. */
  readonly nowMs: number;
  /** Seconds between observations; default a quarter of an hour. */
  readonly every?: number;
}

/** Where a soak stands, in names. */
export function viewSoak(
  board: Board,
  plan: PowerPlan,
  job: DerivedJob,
  { nowMs, every: usual }: SoakClock,
): SoakView {
  const soak = soakState(job, nowMs, usual);
  const watch = viewWatch(board, job, soak);
  const rails = viewRails(board, plan, job, soak);
  const { state, startedAt, seconds, every, findings, needs, text, isShort } = soak;
  const lastAfter = soak.observations.at(-1)?.after;
  return {
    board: harmless(board.name),
    state,
    ...(startedAt === undefined ? {} : { startedAt }),
    seconds,
    elapsed: Math.floor(soak.elapsed),
    left: Math.ceil(soak.left),
    observations: soak.observations.length,
    ...(lastAfter === undefined ? {} : { lastAfter: Math.floor(lastAfter) }),
    every,
    ...(soak.dueIn === undefined ? {} : { dueIn: Math.ceil(soak.dueIn) }),
    findings: findings.map((each) => harmless(each.text)),
    gaps: soak.gaps.map(({ from, to }) => ({ from: Math.floor(from), to: Math.floor(to) })),
    needs,
    ...(text === undefined ? {} : { words: harmless(text) }),
    isShort,
    watch,
    rails,
    isAmiss: watch.some(({ isTooHot }) => isTooHot) || rails.some(({ isOut }) => isOut),
  };
}

/** The parts to watch, then any other whose temperature was taken. */
function viewWatch(board: Board, job: DerivedJob, soak: SoakState): WatchView[] {
  const since = soak.event ?? Number.POSITIVE_INFINITY;
  const watched = soakWatch(board, job);
  const taken = job.temps.filter(({ event }) => event > since && event < endOf(soak));
  const others = new Set(taken.map(({ part }) => part));
  for (const { part } of watched) others.delete(part);
  const each = [
    ...watched,
    ...[...others].map((part) => ({ part, why: 'seen' as const, most: mostCelsius(board, part) })),
  ];
  return each.map(({ part, why, most }) => {
    const last = taken.findLast((temp) => temp.part === part);
    const hottest = Math.max(...taken.filter((temp) => temp.part === part).map((t) => t.celsius));
    return {
      part: partName(board, part),
      why,
      most,
      ...(last === undefined ? {} : { celsius: last.celsius, after: afterStart(soak, last.at) }),
      isTooHot: hottest > most,
    };
  });
}

function viewRails(board: Board, plan: PowerPlan, job: DerivedJob, soak: SoakState): SoakRail[] {
  const since = soak.event ?? Number.POSITIVE_INFINITY;
  const checks = fullChecks(plan);
  const taken = job.powered.filter(({ event }) => event > since && event < endOf(soak));
  return board.rails.map(({ name, plus, minus }, rail) => {
    const { expected, least, most, mayBeOff = true, at } = checks.get(rail) ?? {};
    const own = taken.flatMap((each) => {
      const isSame = each.red.net === plus && each.black.net === minus;
      const isSwapped = each.red.net === minus && each.black.net === plus;
      if (!isSame && !isSwapped) return [];
      return [{ at: each.at, volts: isSame ? each.volts : -each.volts }];
    });
    const isOut = ({ volts }: { volts: number }): boolean =>
      (most !== undefined && volts > most) ||
      (least !== undefined && volts < least && !(mayBeOff && Math.abs(volts) < 0.1));
    const last = own.at(-1);
    return {
      rail: harmless(name),
      red: harmless(at?.[0] ?? board.nets[plus]?.name ?? ''),
      black: harmless(at?.[1] ?? board.nets[minus]?.name ?? ''),
      ...figures({ expected, least, most }),
      ...(last === undefined ? {} : { volts: last.volts, after: afterStart(soak, last.at) }),
      isOut: own.some(isOut),
    };
  });
}

function figures<K extends string>(
  values: { [P in K]: number | undefined },
): { [P in K]?: number } {
  const known = Object.entries<number | undefined>(values).flatMap(([key, value]) =>
    value === undefined ? [] : [[key, Number(value.toPrecision(4))] as const],
  );
  return Object.fromEntries(known) as { [P in K]?: number };
}

function endOf(soak: SoakState): number {
  return soak.endEvent ?? Number.POSITIVE_INFINITY;
}

function afterStart({ startedAt = '' }: SoakState, at: string): number {
  return Math.max(0, Math.floor((Date.parse(at) - Date.parse(startedAt)) / 1000)) || 0;
}
