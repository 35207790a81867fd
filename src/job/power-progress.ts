/** How far the power-up of a job has come, and what was read under power against what the plan expects. */
import type { Board } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';
import type { PlanStage, PowerPlan, PowerStep } from './power-plan.ts';
import type { RailCheck } from './rail-check.ts';

/** `again`: passed, but the board was changed or went wrong since. */
export type StageState = 'to do' | 'passed' | 'stopped' | 'again';

export interface StageProgress {
  readonly stage: PlanStage;
  readonly state: StageState;
  /** The event that last passed or stopped it, and its words. */
  readonly event?: number;
  readonly at?: string;
  readonly text?: string;
  /** Voltages and currents of its rails since the last change, in the order they were taken. */
  readonly readings: readonly PoweredReading[];
  /** Rails last read otherwise than the plan has them at full voltage, or not at all. */
  readonly unread: readonly number[];
}

/** `within`: as the plan has it at some step; `not told`: the board file gives no figure. */
export type Verdict = 'within' | 'low' | 'high' | 'reversed' | 'over' | 'not told';

/** A voltage or a current taken under power. */
export interface PoweredReading {
  readonly event: number;
  readonly at: string;
  readonly rail: number;
  readonly volts?: number;
  readonly amps?: number;
  readonly verdict: Verdict;
  /** Share of the full voltage at which it is what the plan expects. */
  readonly share?: number;
  /** V or A it was held against. */
  readonly least?: number;
  readonly most?: number;
}

/** Every stage of the plan with what the record says of it. */
export function powerStages(board: Board, plan: PowerPlan, job: DerivedJob): StageProgress[] {
  const since = job.evidence.lastChange;
  return plan.stages.map((stage) => {
    const said = job.powerStages.findLast((each) => each.stage === stage.number);
    const readings = [...voltages(board, plan, job, stage), ...currents(plan, job, stage)].sort(
      (a, b) => a.event - b.event,
    );
    const last = new Map(
      readings.filter(({ volts }) => volts !== undefined).map((each) => [each.rail, each]),
    );
    const isRead = (rail: number): boolean => {
      const { verdict, share } = last.get(rail) ?? {};
      return verdict === 'not told' || (verdict === 'within' && share === 1);
    };
    return {
      stage,
      state: stateOf(said, since),
      ...(said === undefined ? {} : { event: said.event, at: said.at }),
      ...(said?.text === undefined ? {} : { text: said.text }),
      readings,
      unread: stage.rails.filter((rail) => !isRead(rail)),
    };
  });
}

/** The stage to be worked at: the first that is not passed. */
export function nextStage(stages: readonly StageProgress[]): StageProgress | undefined {
  return stages.find(({ state }) => state !== 'passed');
}

function stateOf(said: DerivedJob['powerStages'][number] | undefined, since: number): StageState {
  if (said === undefined) return 'to do';
  // A stop is the upset that voids what was before it, so it is its own last change.
  if (said.result === 'stopped') return said.event >= since ? 'stopped' : 'to do';
  return said.event > since ? 'passed' : 'again';
}

function voltages(
  board: Board,
  plan: PowerPlan,
  job: DerivedJob,
  stage: PlanStage,
): PoweredReading[] {
  return job.powered.flatMap(({ event, at, red, black, volts }) => {
    if (event < job.evidence.lastChange) return [];
    const found = stage.rails.find((rail) => isAcross(board, rail, red.net, black.net));
    if (found === undefined || stageAt(plan, job, event, found) !== stage) return [];
    const seen = board.rails[found]?.plus === red.net ? volts : -volts;
    const checks = stage.steps.flatMap((step) =>
      step.checks.filter(({ rail }) => rail === found).map((check) => ({ step, check })),
    );
    return [{ event, at, rail: found, volts: seen, ...judge(seen, checks) }];
  });
}

function isAcross(board: Board, rail: number, a: number, b: number): boolean {
  const known = board.rails[rail];
  return (known?.plus === a && known.minus === b) || (known?.plus === b && known.minus === a);
}

/** Which stage a reading was taken in: the one worked at then, else the first with that rail. */
function stageAt(
  plan: PowerPlan,
  job: DerivedJob,
  event: number,
  rail: number,
): PlanStage | undefined {
  const { lastChange } = job.evidence;
  const passed = new Set(
    job.powerStages
      .filter((each) => each.result === 'passed' && each.event > lastChange && each.event < event)
      .map((each) => each.stage),
  );
  const open = plan.stages.filter(({ number }) => !passed.has(number));
  const withRail = (stages: readonly PlanStage[]) =>
    stages.find(({ rails }) => rails.includes(rail));
  return withRail(open) ?? withRail([...plan.stages].reverse());
}

type Judged = Pick<PoweredReading, 'verdict' | 'share' | 'least' | 'most'>;

/** The step whose expectation it meets, the highest first; else what the nearest one wants. */
function judge(
  volts: number,
  checks: readonly { readonly step: PowerStep; readonly check: RailCheck }[],
): Judged {
  const told = checks.filter(({ check }) => check.most !== undefined);
  const met = told.findLast(({ check }) => isWithin(check, volts));
  if (met !== undefined) return { verdict: 'within', share: met.step.share, ...range(met.check) };
  const whole = told.filter(({ check }) => check.expected !== undefined);
  const nearest = whole.reduce<(typeof whole)[number] | undefined>(
    (held, each) => (held && gap(held.check, volts) <= gap(each.check, volts) ? held : each),
    undefined,
  );
  if (nearest === undefined) return { verdict: 'not told' };
  const { check } = nearest;
  const isReversed = volts < -(check.least ?? 0) && volts < 0;
  const verdict = isReversed ? 'reversed' : volts > (check.most ?? 0) ? 'high' : 'low';
  return { verdict, share: nearest.step.share, ...range(check) };
}

function isWithin({ least, most, mayBeOff }: RailCheck, volts: number): boolean {
  if (most === undefined || volts > most) return false;
  return volts >= (least ?? 0) || (mayBeOff && volts > -0.1 && volts < 0.1);
}

function gap({ expected = 0 }: RailCheck, volts: number): number {
  return Math.abs(volts - expected);
}

function range({ least, most }: RailCheck): Pick<Judged, 'least' | 'most'> {
  return { ...(least === undefined ? {} : { least }), ...(most === undefined ? {} : { most }) };
}

/** A current of a rail that the stage feeds from a source, against the limit set at full voltage. */
function currents(plan: PowerPlan, job: DerivedJob, stage: PlanStage): PoweredReading[] {
  return job.draws.flatMap(({ event, at, rail, amps }) => {
    if (event < job.evidence.lastChange || stageAt(plan, job, event, rail) !== stage) return [];
    return [{ event, at, rail, amps, ...judgeCurrent(stage, rail, amps) }];
  });
}

function judgeCurrent({ feed, steps, load }: PlanStage, rail: number, amps: number): Judged {
  const isFed = feed.how === 'source' && feed.rail === rail;
  const most = isFed ? (steps.at(-1)?.limitAmps ?? feed.source.lampAmps) : undefined;
  if (most === undefined) return { verdict: 'not told' };
  return { verdict: amps > most ? 'over' : 'within', least: load?.amps ?? 0, most };
}
