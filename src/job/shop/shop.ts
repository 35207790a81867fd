import { DEFAULT_INJECTION_LIMITS } from '../../circuit/injection-limits.ts';
import { DEFAULT_FAULT_SETTINGS, type FaultSettings } from '../../faults/settings.ts';
import type { BenchTimes } from '../../steps/bench-times.ts';
import { DEFAULT_STEP_SETTINGS, type StepSettings } from '../../steps/settings.ts';
import { DEFAULT_MEMORY_RULES } from '../memory/rules.ts';
import { AWAY_MINUTES } from '../time-spent.ts';

/**
 * How a shop works, as its settings file says it, defaults filled in. A key `bench-times` of the file
 * is `benchTimes` here; `shop-shape.ts` says what each means, and a test holds the two together.
 */
export interface Shop {
  /** The shop's name. */
  readonly shop?: string;
  /** Minutes each kind of bench work takes. */
  readonly benchTimes: BenchTimes;
  readonly stageTimes: StageTimes;
  readonly policies: Policies;
  readonly doubts: Doubts;
  readonly thresholds: Thresholds;
  /** What past boards teach the next one. */
  readonly memory: MemorySettings;
  /** The meter of new jobs: a name of the catalogue, a file, or FILE:NAME. */
  readonly meter?: string;
  /** The terminal's bell tells what happened. */
  readonly sound: boolean;
  /** Function checks in the shop's own words. */
  readonly checks: readonly ShopCheck[];
  /** Put behind or before sums of money, as given; empty: bare figures. */
  readonly currency: string;
  /** Money per hour at the bench. */
  readonly hourlyRate?: number;
  readonly prices: Prices;
  /** What a board of that name is worth repaired. */
  readonly boards: ReadonlyMap<string, { readonly value: number }>;
}

/** Minutes of attendance in the stages that no reading or lift prices. */
export interface StageTimes {
  readonly intake: number;
  readonly lookOver: number;
  readonly touchUp: number;
  readonly powerUp: number;
  /** Setting up and looking in, not the length of the soak. */
  readonly soak: number;
  readonly signOff: number;
}

export interface Policies {
  readonly renewBanksAsSets: boolean;
  /** Minutes that a healthy part taken off counts for beside the work. */
  readonly healthyPartOff: number;
  readonly replaceOnSuspicion: {
    readonly kinds: readonly string[];
    /** Price up to which such a part goes without a reading; none: no part does. */
    readonly upTo?: number;
    /** Weight from which it goes. */
    readonly from: number;
  };
}

/** What the reasoning assumes. Kept in a job's opening, as a job's results follow from it. */
export interface Doubts {
  readonly expectedFaults: number;
  readonly slip: number;
  readonly wrongForGood: number;
  readonly unlistedLink: number;
  readonly brokenCopper: number;
  readonly bankTogether: number;
  readonly heatsinkFactor: number;
  readonly failsFirstFactor: number;
  readonly fuseFactor: number;
  readonly sureFrom: number;
  readonly fitUnreadFrom: number;
  readonly clearBelow: number;
  readonly renewFrom: number;
  readonly unreadFaults: number;
}

export interface MemorySettings {
  /** New jobs start from what past boards taught. */
  readonly use: boolean;
  /** Folder of the job records, with all below it, from the settings file's; none: the new job's own. */
  readonly records?: string;
  /** Address of the database that the shop's benches share. */
  readonly database?: string;
  /** Customers' names and words go into it as well. */
  readonly customersWords: boolean;
  /** The handbooks count as much as so many boards. */
  readonly handbooksCount: number;
  /** After so many further boards of the same model a job counts half. */
  readonly halfAfter: number;
}

export interface Thresholds {
  /** Before any reading: V and J that may be left between two points. */
  readonly discharge: {
    readonly warnVolts: number;
    readonly refuseVolts: number;
    readonly refuseJoules: number;
  };
  /** A current sent into a cold board: V and A that the supply is set to at most. */
  readonly injection: { readonly mostVolts: number; readonly mostAmps: number };
  readonly soak: { readonly minutes: number; readonly observeEvery: number };
  /** Minutes without an entry that count as time away. */
  readonly awayAfter: number;
  /** Share of a board's value that the whole job may cost before a warning. */
  readonly worthUpTo: number;
}

export interface ShopCheck {
  readonly check: string;
  /** Boards it is for, by name; empty: all. */
  readonly boards: readonly string[];
}

export interface Prices {
  /** Path of a price list (CSV), from the settings file's folder. */
  readonly list?: string;
  /** What a part of a kind usually costs, where the list has no price for it. */
  readonly usual: ReadonlyMap<string, number>;
}

/** A shop that has said nothing. */
export const DEFAULT_SHOP: Shop = {
  benchTimes: DEFAULT_STEP_SETTINGS.times,
  stageTimes: { intake: 5, lookOver: 5, touchUp: 10, powerUp: 15, soak: 10, signOff: 5 },
  policies: {
    renewBanksAsSets: DEFAULT_STEP_SETTINGS.replaceBanksAsSets,
    healthyPartOff: DEFAULT_STEP_SETTINGS.healthyPartMinutes,
    replaceOnSuspicion: { kinds: ['ceramic', 'film', 'electrolytic', 'tantalum'], from: 0.3 },
  },
  doubts: {
    expectedFaults: DEFAULT_FAULT_SETTINGS.expectedFaults,
    slip: DEFAULT_FAULT_SETTINGS.slipRatio,
    wrongForGood: DEFAULT_FAULT_SETTINGS.stubbornRatio,
    unlistedLink: DEFAULT_FAULT_SETTINGS.linkChance,
    brokenCopper: DEFAULT_FAULT_SETTINGS.copperChance,
    bankTogether: DEFAULT_FAULT_SETTINGS.bankShare,
    heatsinkFactor: DEFAULT_FAULT_SETTINGS.heatsinkFactor,
    failsFirstFactor: DEFAULT_FAULT_SETTINGS.failsFirstFactor,
    fuseFactor: DEFAULT_FAULT_SETTINGS.fuseFactor,
    sureFrom: DEFAULT_STEP_SETTINGS.sureWeight,
    fitUnreadFrom: DEFAULT_STEP_SETTINGS.fitUnreadWeight,
    clearBelow: DEFAULT_STEP_SETTINGS.clearWeight,
    renewFrom: DEFAULT_STEP_SETTINGS.replaceWeight,
    unreadFaults: DEFAULT_STEP_SETTINGS.proofRisk,
  },
  thresholds: {
    discharge: { warnVolts: 1, refuseVolts: 60, refuseJoules: 10 },
    injection: {
      mostVolts: DEFAULT_INJECTION_LIMITS.volts,
      mostAmps: DEFAULT_INJECTION_LIMITS.amps,
    },
    soak: { minutes: 60, observeEvery: 15 },
    awayAfter: AWAY_MINUTES,
    worthUpTo: 1,
  },
  memory: {
    use: true,
    customersWords: false,
    handbooksCount: DEFAULT_MEMORY_RULES.strength,
    halfAfter: DEFAULT_MEMORY_RULES.halfAfter,
  },
  sound: true,
  checks: [],
  currency: '',
  prices: { usual: new Map() },
  boards: new Map(),
};

/** The doubts as the reasoning takes them. */
export function faultSettingsOf(doubts: Doubts): Partial<FaultSettings> {
  return {
    expectedFaults: doubts.expectedFaults,
    slipRatio: doubts.slip,
    stubbornRatio: doubts.wrongForGood,
    linkChance: doubts.unlistedLink,
    copperChance: doubts.brokenCopper,
    bankShare: doubts.bankTogether,
    heatsinkFactor: doubts.heatsinkFactor,
    failsFirstFactor: doubts.failsFirstFactor,
    fuseFactor: doubts.fuseFactor,
  };
}

/** Bench times, policies and doubts as the choice of steps takes them. */
export function stepSettingsOf(shop: Shop, doubts: Doubts = shop.doubts): Partial<StepSettings> {
  return {
    times: shop.benchTimes,
    replaceBanksAsSets: shop.policies.renewBanksAsSets,
    healthyPartMinutes: shop.policies.healthyPartOff,
    sureWeight: doubts.sureFrom,
    fitUnreadWeight: doubts.fitUnreadFrom,
    clearWeight: doubts.clearBelow,
    proofRisk: doubts.unreadFaults,
    replaceWeight: doubts.renewFrom,
  };
}

/** The shop's function checks for a board of this name, in file order. */
export function checksFor(shop: Shop, board: string): string[] {
  return shop.checks
    .filter(({ boards }) => boards.length === 0 || boards.includes(board))
    .map(({ check }) => check);
}
