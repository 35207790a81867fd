/** What a job holds beside readings and changes: intake, checks, power, soak, the end. */
import type { Placing } from '../board/placed-board.ts';
import type { Point } from '../circuit/reading.ts';
import { COPYING, type Growing } from './growing.ts';
import type { Say, SignOffResult, SkippableStage, TabValue, TickItem } from './say.ts';
import { changesBoard } from './state-after.ts';

/** Where in the record a thing was said. */
export interface Said {
  /** Number of the event. */
  readonly event: number;
  /** ISO time of the event; empty for lines that come from no record. */
  readonly at: string;
}

export interface Words extends Said {
  readonly text: string;
}

export interface Photo extends Said {
  /** Path as seen from the job file's folder. */
  readonly file: string;
  readonly part?: number;
  readonly pin?: number;
  readonly text?: string;
}

/** What was known when the board came in, in the order it was said. */
export interface Intake {
  readonly customer: readonly Words[];
  readonly arrived: readonly Words[];
  readonly marking: readonly Words[];
  readonly photos: readonly Photo[];
}

/** Volts between two points, red against black; may be negative. */
export interface Volts extends Said {
  readonly red: Point;
  readonly black: Point;
  readonly volts: number;
}

/** A part's tab against its heatsink. */
export interface Isolation extends Said {
  readonly part: number;
  readonly value: TabValue;
}

export interface Tick extends Said {
  readonly part: number;
  readonly item: TickItem;
}

export interface Draw extends Said {
  /** Number of the rail. */
  readonly rail: number;
  readonly amps: number;
}

export interface PowerStage extends Said {
  /** Number in the power-up plan, from 1. */
  readonly stage: number;
  readonly result: 'passed' | 'stopped';
  readonly text?: string;
}

export interface FunctionCheck extends Said {
  readonly result: 'passed' | 'failed';
  readonly text: string;
}

export type SoakEvent = Said &
  (
    | { readonly what: 'start'; readonly seconds: number }
    | { readonly what: 'finding' | 'stopped'; readonly text: string }
    | { readonly what: 'passed'; readonly text?: string }
  );

export interface Temperature extends Said {
  readonly part: number;
  readonly celsius: number;
}

/** Where a part or a pad sits, as typed at the bench. */
export interface Place extends Said, Placing {}

export interface Skip extends Said {
  readonly stage: SkippableStage;
  readonly text: string;
}

export interface SignOff extends Said {
  readonly result: SignOffResult;
  readonly text?: string;
}

/**
 * Something went wrong with power on: the board is to be looked for shorts again. Readings before
 * it prove nothing, neither that a rail is clear nor that a part is healthy.
 */
export interface Upset extends Said {
  readonly what: 'power' | 'function' | 'soak';
  readonly text: string;
}

/** All of it; each list in the order it was said. */
export interface BenchLog {
  readonly intake: Intake;
  readonly residuals: readonly Volts[];
  readonly isolations: readonly Isolation[];
  readonly ticks: readonly Tick[];
  readonly powered: readonly Volts[];
  readonly draws: readonly Draw[];
  readonly powerStages: readonly PowerStage[];
  readonly functions: readonly FunctionCheck[];
  readonly soak: readonly SoakEvent[];
  readonly temps: readonly Temperature[];
  readonly skips: readonly Skip[];
  readonly places: readonly Place[];
  /** Who works, as said last. */
  readonly technician?: string;
  /** The last sign-off, until an upset or work on the board opens the job again. */
  readonly signOff?: SignOff;
  readonly upsets: readonly Upset[];
}

export const EMPTY_LOG: BenchLog = {
  intake: { customer: [], arrived: [], marking: [], photos: [] },
  residuals: [],
  isolations: [],
  ticks: [],
  powered: [],
  draws: [],
  powerStages: [],
  functions: [],
  soak: [],
  temps: [],
  skips: [],
  places: [],
  upsets: [],
};

/** The log after one more thing was said. */
export function nextLog(log: BenchLog, say: Say, said: Said, growing: Growing = COPYING): BenchLog {
  const upset = upsetBy(say, said);
  const open = upset !== undefined || changesBoard(say) ? reopened(log) : log;
  const after = { ...open, ...added(open, say, said, growing) };
  return upset === undefined ? after : { ...after, upsets: growing.add(after.upsets, upset) };
}

/** The upset that a line tells of; none when all went well. */
export function upsetBy(say: Say, said: Said): Upset | undefined {
  const isUpset =
    (say.do === 'power' && say.result === 'stopped') ||
    (say.do === 'function' && say.result === 'failed') ||
    (say.do === 'soak' && say.what === 'stopped');
  return isUpset ? { ...said, what: say.do, text: say.text } : undefined;
}

function reopened(log: BenchLog): BenchLog {
  const { signOff: _signOff, ...open } = log;
  return open;
}

function added(log: BenchLog, say: Say, said: Said, growing: Growing): Partial<BenchLog> {
  switch (say.do) {
    case 'customer':
    case 'arrived':
    case 'marking': {
      const texts = growing.add(log.intake[say.do], { ...said, text: say.text });
      return { intake: { ...log.intake, [say.do]: texts } };
    }
    case 'technician':
      return { technician: say.text };
    case 'photo':
      return {
        intake: { ...log.intake, photos: growing.add(log.intake.photos, entry(say, said)) },
      };
    case 'residual':
      return { residuals: growing.add(log.residuals, entry(say, said)) };
    case 'powered':
      return { powered: growing.add(log.powered, entry(say, said)) };
    case 'isolation':
      return { isolations: growing.add(log.isolations, entry(say, said)) };
    case 'tick': {
      const { parts, item } = say;
      const add = (ticks: readonly Tick[], part: number): readonly Tick[] =>
        growing.add(ticks, { ...said, part, item });
      return { ticks: parts.reduce(add, log.ticks) };
    }
    case 'draws':
      return { draws: growing.add(log.draws, entry(say, said)) };
    case 'power':
      return { powerStages: growing.add(log.powerStages, entry(say, said)) };
    case 'function':
      return { functions: growing.add(log.functions, entry(say, said)) };
    case 'soak':
      return { soak: growing.add(log.soak, entry(say, said)) };
    case 'temp':
      return { temps: growing.add(log.temps, entry(say, said)) };
    case 'at':
      return { places: growing.add(log.places, entry(say, said)) };
    case 'skip':
      return { skips: growing.add(log.skips, entry(say, said)) };
    case 'sign-off':
      return { signOff: entry(say, said) };
    default:
      return {};
  }
}

type WithoutVerb<T> = T extends unknown ? Omit<T, 'do'> : never;

/** What was said, without its verb and with its place in the record. */
function entry<T extends { readonly do: string }>(say: T, said: Said): WithoutVerb<T> & Said {
  const { do: _do, ...rest } = say;
  return { ...rest, ...said } as unknown as WithoutVerb<T> & Said;
}
