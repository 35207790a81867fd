import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import type { SoakEvent, Volts } from '../../job/bench-log.ts';
import type { DerivedJob } from '../../job/derive.ts';
import { printDuration } from '../../job/duration.ts';
import type { PowerPlan } from '../../job/power-plan.ts';
import { powerStages } from '../../job/power-progress.ts';
import { partName, pointName } from '../names.ts';
import { verdictText } from '../power-lines.ts';
import { viewReading } from '../power-plan.ts';
import { listOf } from '../words.ts';
import { timeText } from './names.ts';

/** First power, function checks and the soak, as they were recorded. */
export interface PowerView {
  /** Voltage left before the cold readings. */
  readonly residuals: readonly string[];
  readonly steps: readonly PowerStepView[];
  readonly soak: readonly PowerStepView[];
  /** What went wrong under power, and sent the board back to the cold readings. */
  readonly upsets: readonly string[];
}

/** One event: what was done or read, and how it went. */
export interface PowerStepView {
  readonly event: number;
  readonly at: string;
  readonly what: string;
  readonly result: string;
  /** True when it sent the board back to the cold readings. */
  readonly stopped: boolean;
}

export function viewPower(board: Board, job: DerivedJob, plan: PowerPlan): PowerView {
  const judged = verdicts(board, plan, job);
  const steps: PowerStepView[] = [];
  const soak: PowerStepView[] = [];
  for (const { event, say } of job.active) {
    const at = { event: event.n, at: timeText(event.at) };
    if (say.do === 'power') {
      const result = words(say.result, say.text);
      const what = stageText(board, plan, say.stage);
      steps.push({ ...at, what, result, stopped: say.result === 'stopped' });
    }
    if (say.do === 'function') {
      const result = words(say.result, say.text);
      steps.push({ ...at, what: 'function', result, stopped: say.result === 'failed' });
    }
    if (say.do === 'powered') {
      const { what, result } = voltsOf(board, say);
      const verdict = judged.get(event.n);
      steps.push({ ...at, what, result: withVerdict(result, verdict), stopped: false });
    }
    if (say.do === 'draws') {
      const name = harmless(board.rails[say.rail]?.name ?? '?');
      const result = withVerdict(`${say.amps} A`, judged.get(event.n));
      steps.push({ ...at, what: `current of rail ${name}`, result, stopped: false });
    }
    if (say.do === 'soak') soak.push({ ...at, ...soakOf(say) });
    if (say.do !== 'temp') continue;
    const seen = {
      what: `temperature at ${partName(board, say.part)}`,
      result: `${say.celsius} °C`,
    };
    (soak.length > 0 ? soak : steps).push({ ...at, ...seen, stopped: false });
  }
  const residuals = job.residuals.map((one) => {
    const { what, result } = voltsOf(board, one);
    return `${what.replace(/^voltage /, '')}: ${result}, event ${one.event}`;
  });
  const upsets = job.upsets.map(
    ({ what, event, text }) => `${what}, event ${event}: ${harmless(text)}`,
  );
  return { residuals, steps, soak, upsets };
}

/** By event: what the plan says to a reading since the last change. */
function verdicts(board: Board, plan: PowerPlan, job: DerivedJob): ReadonlyMap<number, string> {
  const readings = powerStages(board, plan, job).flatMap((stage) => stage.readings);
  return new Map(
    readings.map((reading) => [reading.event, verdictText(viewReading(board, reading))]),
  );
}

function withVerdict(result: string, verdict: string | undefined): string {
  return verdict === undefined ? result : `${result}, ${verdict}`;
}

/** `stage 2, rails 12 V and 5 V`. */
export function stageText(board: Board, plan: PowerPlan, number: number): string {
  const rails = plan.stages.find((stage) => stage.number === number)?.rails ?? [];
  const names = rails.map((rail) => harmless(board.rails[rail]?.name ?? '?'));
  if (names.length === 0) return `stage ${number}`;
  return `stage ${number}, ${names.length === 1 ? 'rail' : 'rails'} ${listOf(names)}`;
}

function voltsOf(
  board: Board,
  { red, black, volts }: Pick<Volts, 'red' | 'black' | 'volts'>,
): {
  what: string;
  result: string;
} {
  const points = `${pointName(board, red)} to ${pointName(board, black)}`;
  return { what: `voltage ${points}`, result: `${volts} V` };
}

function soakOf(say: {
  readonly what: SoakEvent['what'];
  readonly seconds?: number;
  readonly text?: string;
}): Pick<PowerStepView, 'what' | 'result' | 'stopped'> {
  if (say.what === 'start') {
    return {
      what: 'soak',
      result: `started for ${printDuration(say.seconds ?? 0)}`,
      stopped: false,
    };
  }
  if (say.what === 'finding') {
    return { what: 'soak', result: `seen: ${harmless(say.text ?? '')}`, stopped: false };
  }
  return { what: 'soak', result: words(say.what, say.text), stopped: say.what === 'stopped' };
}

function words(result: string, text: string | undefined): string {
  return text === undefined || text === '' ? result : `${result}: ${harmless(text)}`;
}
