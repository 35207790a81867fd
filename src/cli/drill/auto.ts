import type { TaskView } from '../../report/task-told.ts';
import type { Advice } from '../../steps/step.ts';
import type { Player } from '../guided/player.ts';
import { standingOf } from '../standing.ts';
import { study } from '../study.ts';
import type { Work } from '../work.ts';

/** One step of a drill that played itself. */
export interface PlayedStep {
  readonly phase: Advice['phase'];
  /** What was advised. */
  readonly text: string;
  readonly minutes: number;
  readonly why: string;
  /** What was recorded. */
  readonly said: readonly string[];
}

export interface Played {
  readonly steps: readonly PlayedStep[];
  readonly clear: boolean;
  readonly minutes: number;
}

/** A drill that needs more steps than this goes round in circles. */
const MOST_STEPS = 1000;

/** Does every step advised until nothing is left to do; `tell` is called after each. */
export function playAlone(work: Work, player: Player, tell: (step: PlayedStep) => void): Played {
  const steps: PlayedStep[] = [];
  let minutes = 0;
  for (let count = 0; count < MOST_STEPS; count += 1) {
    const known = study(work.board, work.derived.evidence);
    const { raw, view } = known.advice();
    const { task } = standingOf(work, known);
    if (task !== undefined) {
      const step = playTask(work, player, task, raw.phase);
      steps.push(step);
      tell(step);
      continue;
    }
    if (raw.step.kind === 'done') return { steps, clear: raw.phase === 'clear', minutes };
    const lines = player.act(raw.step, work.derived.evidence.state);
    const said = work.record(lines).map(({ say }) => say);
    const step = {
      phase: raw.phase,
      text: view.step.text,
      minutes: raw.minutes,
      why: raw.why,
      said,
    };
    minutes += raw.minutes;
    steps.push(step);
    tell(step);
  }
  return { steps, clear: false, minutes };
}

/** A simulated board holds no charge: its bench answers what is asked before a reading. */
function playTask(work: Work, player: Player, task: TaskView, phase: Advice['phase']): PlayedStep {
  const [choice] = player.taskKeys(task);
  const lines = choice?.action.do === 'record' ? choice.action.lines : [];
  const said = work.record(lines).map(({ say }) => say);
  return { phase, text: task.text, minutes: 0, why: task.why, said };
}
