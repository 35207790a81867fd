import type { Board } from '../../board/model.ts';
import type { MeterMode } from '../../circuit/reading.ts';
import type { LookFinding } from '../../faults/evidence.ts';
import { printValue } from '../../job/value.ts';
import { viewStep } from '../../report/step-view.ts';
import type { TaskView } from '../../report/task-told.ts';
import { GLUE } from '../../report/wrap.ts';
import type { Step } from '../../steps/step.ts';

/** What a key does in the guided run. */
export type KeyAction =
  | { readonly do: 'record'; readonly lines: readonly string[]; readonly told?: string }
  /** Let the simulated board answer, or do what the step asks on it. */
  | { readonly do: 'act' }
  /** Take what the meter shows, at the person's word. */
  | { readonly do: 'take' }
  /** Show the soak with its clock until it ends or is left. */
  | { readonly do: 'watch' }
  /** Beside the step: pass it over, say what cannot be reached, look ahead, look something up. */
  | { readonly do: Aside }
  | { readonly do: 'undo' | 'redo' | 'why' | 'map' | 'where' | 'other' | 'help' | 'leave' };

export type Aside = 'pass' | 'unreachable' | 'what if' | 'find';

export interface KeyChoice {
  /** One character, or `Enter`. */
  readonly key: string;
  readonly label: string;
  readonly action: KeyAction;
  /** Told on the page of keys alone, as the line of keys would grow too long. */
  readonly isSeldom?: true;
}

const COMMON: readonly KeyChoice[] = [
  { key: 'u', label: 'undo', action: { do: 'undo' } },
  { key: 'y', label: 'redo', action: { do: 'redo' } },
  { key: 'w', label: 'why', action: { do: 'why' } },
  { key: 'm', label: 'map of the rail', action: { do: 'map' } },
  { key: 'e', label: 'where', action: { do: 'where' } },
  { key: 's', label: 'another step', action: { do: 'other' } },
  { key: 'k', label: 'pass this step over', action: { do: 'pass' }, isSeldom: true },
  { key: 'g', label: 'cannot get there', action: { do: 'unreachable' }, isSeldom: true },
  { key: 'h', label: 'what if I lift a part', action: { do: 'what if' }, isSeldom: true },
  { key: '/', label: 'find a part or net', action: { do: 'find' }, isSeldom: true },
  { key: '?', label: 'help', action: { do: 'help' } },
  { key: 'x', label: 'leave', action: { do: 'leave' } },
];

/** The keys that answer this step on a real board, then those that are always there. */
export function keysFor(board: Board, step: Step): KeyChoice[] {
  return [...answersTo(board, step), ...COMMON];
}

/** Where a meter answers by itself: for points it cannot tell from open probes, by a foot switch perhaps. No Enter: that goes on from everything else. */
export const TAKE_NOW: KeyChoice = {
  key: 't',
  label: 'take what the meter shows',
  action: { do: 'take' },
};

/** The keys that answer a task, then those that are always there. */
export function keysOfTask(task: TaskView): KeyChoice[] {
  const answers = task.answers.map(({ key, label, say }): KeyChoice => {
    return { key, label, action: { do: 'record', lines: say } };
  });
  const finish: KeyChoice = { key: 'Enter', label: 'finish', action: { do: 'leave' } };
  const watch: KeyChoice = { key: 'Enter', label: 'watch it', action: { do: 'watch' } };
  return [
    ...(task.kind === 'soak' ? [watch] : []),
    ...answers,
    ...(task.kind === 'signed off' ? [finish] : []),
    ...(task.kind === 'power' ? COMMON.map(asPlan) : COMMON),
  ];
}

/** At a stage of power-up the key that tells why shows the whole plan. */
function asPlan(choice: KeyChoice): KeyChoice {
  return choice.action.do === 'why' ? { ...choice, label: 'whole plan' } : choice;
}

/** In a drill the simulated board answers a task: no drill holds a charge. */
export function drillTaskKeys(task: TaskView): KeyChoice[] {
  const [first] = task.answers;
  const lines = first?.say ?? [];
  const label = task.kind === 'injection' ? (first?.label ?? '') : 'measure it';
  return [{ key: 'Enter', label, action: { do: 'record', lines } }, ...COMMON];
}

/** The keys of a drill: the simulated board answers by itself. */
export function drillKeys(step: Step): KeyChoice[] {
  const label = step.kind === 'read' ? 'probe it' : step.kind === 'done' ? 'finish' : 'do it';
  const action: KeyAction = step.kind === 'done' ? { do: 'leave' } : { do: 'act' };
  return [{ key: 'Enter', label, action }, ...COMMON];
}

/** The keys in one line: `b beep · q quiet · u undo …`; those seldom needed only where all are asked for. */
export function keyHint(choices: readonly KeyChoice[], which: 'usual' | 'all' = 'usual'): string {
  const told = choices.filter(({ isSeldom }) => which === 'all' || isSeldom !== true);
  return told.map(({ key, label }) => `${key} ${label}`.replaceAll(' ', GLUE)).join(' · ');
}

/** Letters that end a figure without Enter, by the mode asked for; Mohm needs its capital. */
const UNITS: Readonly<Record<MeterMode, readonly (readonly [string, string])[]>> = {
  continuity: [
    ['o', 'ohm'],
    ['k', 'kohm'],
  ],
  ohms: [
    ['o', 'ohm'],
    ['k', 'kohm'],
    ['M', 'Mohm'],
  ],
  'low-voltage': [
    ['o', 'ohm low-voltage'],
    ['k', 'kohm low-voltage'],
    ['M', 'Mohm low-voltage'],
  ],
  diode: [
    ['v', 'V'],
    ['V', 'V'],
  ],
  'four-wire': [
    ['m', 'mohm'],
    ['o', 'ohm four-wire'],
  ],
  millivolts: [
    ['m', 'mV'],
    ['u', 'uV'],
  ],
};

/** By letter: what it stands for right behind a figure, at a reading in this mode. */
export function unitKeys(mode: MeterMode): ReadonlyMap<string, string> {
  return new Map(UNITS[mode]);
}

function answersTo(board: Board, step: Step): KeyChoice[] {
  const { say = '' } = viewStep(board, step);
  switch (step.kind) {
    case 'read':
      return readKeys(say, step.probe.mode);
    case 'look':
      return lookKeys(say, step.pin !== undefined);
    case 'inspect':
      return inspectKeys(say.replace(/^look /, ''));
    case 'done':
      return [{ key: 'Enter', label: 'finish', action: { do: 'leave' } }];
    default:
      return [record('Enter', 'done', say)];
  }
}

/** A beeper has two answers; other modes show a value, which is typed, or nothing. */
function readKeys(say: string, mode: MeterMode): KeyChoice[] {
  if (mode === 'continuity') {
    return [record('b', 'beep', `${say} beep`), record('q', 'quiet', `${say} quiet`)];
  }
  // A voltage along copper is a figure, always.
  if (mode === 'millivolts') return [];
  return [record('v', 'over range', `${say} ${printValue({ mode, value: { kind: 'over' } })}`)];
}

/** Findings in the order an eye meets them; on a joint only what a joint can show. */
function lookKeys(say: string, joint: boolean): KeyChoice[] {
  const findings: readonly LookFinding[] = joint
    ? ['looks sound', 'off its pad', 'cracked', 'reworked']
    : ['looks sound', 'burnt', 'cracked', 'leaking', 'reworked', 'dirty', 'missing', 'wrong part'];
  return findings.map((finding, index) => record(String(index + 1), finding, `${say} ${finding}`));
}

function inspectKeys(nets: string): KeyChoice[] {
  return [
    record('1', 'looks sound', `look ${nets} looks sound`),
    record('2', 'bridge found and cleaned', `clean ${nets}`),
    record('3', 'a real link, missing in the file', `link ${nets}`),
  ];
}

function record(key: string, label: string, line: string): KeyChoice {
  return { key, label, action: { do: 'record', lines: [line] } };
}
