/** Where a job stands, in names: its stages, and the one thing that comes next. */
import { harmless } from '../board/shown-text.ts';
import { formatVolts } from '../board/units.ts';
import type { Charge } from '../job/discharge.ts';
import type { JobFacts } from '../job/job-facts.ts';
import type { WorkStage } from '../job/stage-of.ts';
import type { StageState } from '../job/stage-rules.ts';
import type { StagePlan } from '../job/stages.ts';
import type { Task } from '../job/task.ts';
import type { AdviceView } from './advice.ts';
import { type InjectedView, injectedLines, viewInjected } from './injection.ts';
import { netName } from './names.ts';
import type { Style } from './style.ts';
import type { TaskView } from './task-told.ts';
import { viewTask } from './task-view.ts';
import { sentence } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

export interface StageView {
  readonly stage: WorkStage;
  readonly state: StageState;
  /** What it still needs; for a skipped stage why it was left out. */
  readonly needs: readonly string[];
}

export interface StandingView {
  /** In the order a job goes through them. */
  readonly stages: readonly StageView[];
  /** The stage that comes next. */
  readonly stage: WorkStage;
  /** What comes next; left out where the readings' own step does. */
  readonly task?: TaskView;
  /** Charges to be minded, one line each. */
  readonly warnings: readonly string[];
  /** The current that is on. */
  readonly injection?: InjectedView;
}

/** Where a job stands, in names: every stage with what it needs, and the task that comes next. */
export function viewStanding(facts: JobFacts, plan: StagePlan): StandingView {
  const { board, limits, charges } = facts;
  const { next } = plan;
  const stages = plan.stages.map(({ stage, state, needs }) => ({
    stage,
    state,
    needs: needs.map(harmless),
  }));
  const warnings = charges
    .filter(({ state }) => state === 'charged')
    .map((charge) => chargedText(facts, charge));
  const task = next.kind === 'bench' ? {} : { task: viewTask(board, next, limits) };
  const { injection } = facts.job.evidence;
  const current = injection === undefined ? {} : { injection: viewInjected(board, injection) };
  return { stages, stage: plan.current, ...task, warnings, ...current };
}

function chargedText({ board, limits }: JobFacts, { nets, last }: Charge): string {
  const names = nets.map((net) => netName(board, net)).join(' to ');
  const held = `${formatVolts(Math.abs(last?.volts ?? 0))} in event ${last?.event}`;
  return `${names} held ${held}: above ${formatVolts(limits.warnVolts)} readings there are off. Discharge it and measure again.`;
}

const INDENT = 7;

/** The task, what it is about, why, and the lines that answer it. */
export function taskLines(
  task: TaskView,
  style: Style,
  job: string,
  details: readonly string[] = [],
): string[] {
  return [
    ...taskHead(task, style),
    ...taskList(task, style),
    ...details,
    ...taskWhy(task, style),
    ...answerLines(task, style, job),
  ];
}

export function taskHead(task: TaskView, { width, palette }: Style): string[] {
  const label = task.kind === 'signed off' ? 'Done' : 'Next';
  return labelled(label, task.text, INDENT, width).map(palette.strong);
}

export function taskWhy({ why }: TaskView, { width }: Style): string[] {
  return why === '' ? [] : labelled('Why', why, INDENT, width);
}

export function taskList({ list }: TaskView, { width }: Style): string[] {
  return list.flatMap((text) => labelled('', `- ${text}`, INDENT, width));
}

/** What may be recorded, as calls of `log`. */
function answerLines(task: TaskView, style: Style, job: string): string[] {
  const said = task.answers.map(({ say }) => say).filter((say) => say.length > 0);
  const lines = [...said.map((say) => sayText(say)), ...task.lines.map((line) => `"${line}"`)];
  const shown = [...new Set(lines)];
  if (shown.length === 0) return [];
  const head = wrap(`Record it: trace-short log ${job} …`, style.width);
  return [...head, ...shown.flatMap((line) => labelled('', line, INDENT, style.width))];
}

/** At most two lines of an answer in full; a script takes them all from --json. */
function sayText(say: readonly string[]): string {
  const shown = say.slice(0, 2).map((line) => `"${line}"`);
  const more = say.length - shown.length;
  return [...shown, ...(more > 0 ? [`… and ${more} more alike`] : [])].join(' ');
}

/** Every stage with its state, in a few lines, and what holds up those that are held up. */
export function stageLines({ stages, stage: current }: StandingView, style: Style): string[] {
  const { palette, width } = style;
  const all = stages.map(({ stage, state }) => {
    const text = `${stage} ${state}`.replaceAll(' ', GLUE);
    return stage === current ? `>${GLUE}${text}` : text;
  });
  const held = stages.filter(({ state }) => state === 'held up');
  return [
    ...labelled('Stages', all.join(' · '), INDENT, width).map(palette.quiet),
    ...held.flatMap(({ stage, needs }) =>
      labelled('', `${sentence(stage)} is held up: ${shortList(needs)}`, INDENT, width).map(
        palette.warn,
      ),
    ),
  ];
}

const MOST_NEEDS = 4;

function shortList(needs: readonly string[]): string {
  const more = needs.length - MOST_NEEDS;
  const shown = needs.slice(0, MOST_NEEDS).join('; ');
  return more > 0 ? `${shown}; and ${more} more` : shown;
}

/** The current that is on, and the charges to be minded. */
export function warningLines({ warnings, injection }: StandingView, style: Style): string[] {
  const { width, palette } = style;
  const charges = warnings.flatMap((text) => wrap(text, width)).map(palette.warn);
  return injection === undefined ? charges : [...injectedLines(injection, style), ...charges];
}

/** What comes next as a script reads it: the task, or the readings' step in the same shape. */
export interface NextView {
  readonly stage: WorkStage;
  readonly kind: Task['kind'];
  readonly text: string;
  readonly why: string;
  readonly list: readonly string[];
  /** What each answer records, in order. */
  readonly answers: readonly { readonly label: string; readonly say: readonly string[] }[];
  /** The line that a value alone completes: `P48 GND`. */
  readonly value?: string;
}

/** What comes next in the shape that `next --json` prints, whatever its stage. */
export function viewNext({ stage, task }: StandingView, advice: AdviceView): NextView {
  if (task === undefined) {
    const { step, why } = advice;
    const value = step.kind === 'read' && step.say !== undefined ? { value: step.say } : {};
    const isWork =
      step.kind !== 'read' &&
      step.kind !== 'done' &&
      step.kind !== 'look' &&
      step.kind !== 'inspect';
    const answers = isWork && step.say !== undefined ? [{ label: 'done', say: [step.say] }] : [];
    return { stage, kind: 'bench', text: step.text, why, list: [], answers, ...value };
  }
  const { kind, text, why, list, value } = task;
  const answers = task.answers
    .filter(({ say }) => say.length > 0)
    .map(({ label, say }) => ({ label, say }));
  return { stage, kind, text, why, list, answers, ...(value === undefined ? {} : { value }) };
}
