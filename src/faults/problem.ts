import type { Circuit } from '../circuit/circuit.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import type { Meter } from '../circuit/meter.ts';
import type { Decision } from './chances.ts';
import type { CopperFit } from './copper/copper-fit.ts';
import type { Observation } from './observation.ts';
import type { Outcomes } from './outcomes.ts';
import type { FaultSettings } from './settings.ts';
import type { States } from './state-faults.ts';
import type { Universe } from './universe.ts';
import type { Workspace } from './workspace.ts';

/** Everything a search needs; nothing in it changes while it runs. */
export interface Problem {
  readonly circuit: Circuit;
  readonly universe: Universe;
  /** Which of its faults act under a state of the board. */
  readonly states: States;
  readonly observations: readonly Observation[];
  /** What is known of such problems from earlier ones. */
  readonly outcomes: Outcomes;
  /** By observation: its number among the outcomes. */
  readonly numbers: Int32Array;
  readonly meter: Meter;
  readonly settings: FaultSettings;
  readonly workspace: Workspace;
  /** What was read along the copper; absent when nothing was. */
  readonly copper?: CopperFit;
}

/** A set of faults that explains the observations as far as anything listed can. */
export interface Explanation {
  /** Ids of the faults that are there. Faults neither here nor ruled out by `decisions` stay open. */
  readonly faults: readonly number[];
  /** Those of them that some observation asks for; the others are only as likely as ever. */
  readonly accused: readonly number[];
  /** Name of the faults among the outcomes. */
  readonly name: string;
  readonly decisions: Decision | undefined;
  /** Chance of the decisions times the fit of every observation. */
  readonly mass: number;
  readonly predictions: readonly Prediction[];
  readonly fits: Float64Array;
  /** By undecided fault, where worked out: fit of all observations if it were there too, over `fits`. */
  readonly ratios?: ReadonlyMap<number, number>;
}
