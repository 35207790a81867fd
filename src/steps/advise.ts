import type { Board } from '../board/model.ts';
import { Circuit } from '../circuit/circuit.ts';
import { fit } from '../circuit/likelihood.ts';
import { COMMON_HANDHELD, type Meter } from '../circuit/meter.ts';
import type { Probe, Reading } from '../circuit/reading.ts';
import { voltsAt } from '../circuit/sight.ts';
import { AS_FOUND } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { type Bench, benchFor, diagnosisOf, weighing } from '../faults/diagnose.ts';
import type { Diagnosis } from '../faults/diagnosis.ts';
import type { Evidence } from '../faults/evidence.ts';
import type { GoodReading } from '../faults/good-board.ts';
import { DEFAULT_FAULT_SETTINGS, type FaultSettings } from '../faults/settings.ts';
import { allOf, type Sliced } from '../faults/sliced.ts';
import { Clock } from './bench-times.ts';
import { type Hypothesis, hypothesesOf } from './hypotheses.ts';
import { Offers } from './offers.ts';
import { planNext } from './plan.ts';
import { type Healthy, type ProofItem, proofOf } from './proof.ts';
import { DEFAULT_STEP_SETTINGS, type StepSettings } from './settings.ts';
import type { Advice } from './step.ts';
import { type Survey, surveyOf } from './survey.ts';
import { LEAST_TOLD_OHMS } from './survey-ways.ts';
import { turnTest } from './turn-test.ts';

/** A board ready to be reasoned about; made once, used for every reading of a job. */
export interface Workbench {
  readonly board: Board;
  readonly bench: Bench;
  readonly clock: Clock;
  readonly steps: StepSettings;
}

export interface WorkbenchOptions {
  /** Default: a common handheld meter. */
  readonly meter?: Meter;
  readonly faults?: Partial<FaultSettings>;
  readonly steps?: Partial<StepSettings>;
  /** Readings of a good board of the same kind, between nets. */
  readonly reference?: readonly GoodReading[];
}

/** All that is concluded from what is known so far. */
export interface Analysis {
  readonly workbench: Workbench;
  readonly evidence: Evidence;
  readonly beliefs: Beliefs;
  /** Worked out when first asked for: the next step does without it. */
  readonly diagnosis: Diagnosis;
  readonly hypotheses: readonly Hypothesis[];
  readonly survey: Survey;
  readonly proof: readonly ProofItem[];
  /** What may be proposed. */
  readonly offers: Offers;
}

/** Prepares a board: its circuit, chances before any reading, prices of bench work. */
export function openWorkbench(board: Board, options: WorkbenchOptions = {}): Workbench {
  const faults = { ...DEFAULT_FAULT_SETTINGS, ...options.faults };
  const steps = { ...DEFAULT_STEP_SETTINGS, ...options.steps };
  return {
    board,
    bench: benchFor(
      new Circuit(board),
      options.meter ?? COMMON_HANDHELD,
      faults,
      options.reference,
    ),
    clock: new Clock(board, steps.times),
    steps,
  };
}

/** Weighs the evidence. */
export function analyse(workbench: Workbench, evidence: Evidence): Analysis {
  return allOf(analysing(workbench, evidence));
}

/** The same in slices; stopped, it stands on what has been found by then. */
export function* analysing(workbench: Workbench, evidence: Evidence): Sliced<Analysis> {
  const beliefs = yield* weighing(workbench.bench, evidence);
  let diagnosis: Diagnosis | undefined;
  const { circuit } = workbench.bench;
  const offers = new Offers(workbench.board, () => circuit.view(evidence.state), evidence);
  return {
    workbench,
    evidence,
    beliefs,
    get diagnosis() {
      diagnosis ??= diagnosisOf(workbench.bench, evidence, beliefs);
      return diagnosis;
    },
    hypotheses: hypothesesOf(beliefs, evidence.state, workbench.steps),
    survey: surveyOf(beliefs, evidence.state, offers),
    proof: proofOf(workbench.board, evidence, healthyBoard(workbench)),
    offers,
  };
}

/** The next step, and why. */
export function advise(analysis: Analysis): Advice {
  return planNext(analysis);
}

/** Whether a board without faults, put together, would beep here. */
export function isHealthyBeep(workbench: Workbench, probe: Probe): boolean {
  return healthyOhms(workbench, probe) < workbench.bench.meter.beepOhms;
}

/**
 * Ω that a board without faults, put together, would show; leads not counted. Where a good board was read to
 * show little, that.
 */
export function healthyOhms(workbench: Workbench, probe: Probe): number {
  const { circuit } = workbench.bench;
  const { red, black } = probe;
  const ohms = circuit.view(AS_FOUND).network.resistanceOnce(red.net, black.net);
  return workbench.bench.good.lowOhms(red.net, black.net) ?? ohms;
}

/** What the board without faults would show, for the proof and the gates. */
export function healthyBoard(workbench: Workbench): Healthy {
  const { circuit, meter } = workbench.bench;
  const { beepOhms } = meter;
  return {
    isClear: (reading) => isClear(workbench, reading),
    modeFor: (a, b) => {
      const ohms = healthyOhms(workbench, {
        mode: 'continuity',
        red: { net: a },
        black: { net: b },
      });
      const isTold = meter.drives.ohms !== undefined && ohms >= LEAST_TOLD_OHMS;
      return isTold && ohms < 2 * beepOhms ? 'ohms' : 'continuity';
    },
    turnTest: (part) => turnTest(circuit, meter, part),
  };
}

/** Less than this of the fit of the best value, and a reading does not show a board without faults. */
const CLEAR_FIT_RATIO = 0.1;
/** Between points that a healthy board leaves apart, an ohms reading above this shows no short. */
const CLEAR_OHMS = 100;

/** Whether a reading from the pads shows what a board without faults would. */
export function isClear(workbench: Workbench, reading: Reading): boolean {
  const { meter } = workbench.bench;
  const ohms = healthyOhms(workbench, reading);
  const { value } = reading;
  if (value.kind === 'ohms' && value.ohms > CLEAR_OHMS && ohms > CLEAR_OHMS) return true;
  const view = workbench.bench.circuit.view(AS_FOUND);
  const [red, black] = [reading.red.net, reading.black.net];
  const good = workbench.bench.good.of(reading);
  const here = fit(
    meter,
    reading.mode,
    value,
    {
      ohms: good === undefined ? ohms : view.network.resistanceOnce(red, black),
      spread: 0,
      through: (amps, ceiling) => voltsAt({ view, added: [], red, black }, amps, ceiling),
    },
    good === undefined ? {} : { good },
  );
  const best =
    value.kind === 'ohms' ? fit(meter, reading.mode, value, { ohms: value.ohms, spread: 0 }) : 1;
  return here > CLEAR_FIT_RATIO * best;
}
