/** The tasks with power on, and the sign-off behind them. */
import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { formatSeconds } from '../board/units.ts';
import { printPoint } from '../job/points.ts';
import type { SoakState } from '../job/soak.ts';
import type { PlannedStage } from '../job/task.ts';
import { answer, type TaskAnswer, type Told } from './task-told.ts';

export function viewPower(board: Board, { stage, rails, text }: PlannedStage, count: number): Told {
  const stop = (key: string, why: string): TaskAnswer =>
    answer(key, `stopped: ${why}`, `power ${stage} stopped ${why}`);
  return {
    text: `Power stage ${stage} of ${count}: ${harmless(text)}`,
    why: 'Everything read clear cold since the last change. Probes off before power, hands off under it.',
    answers: [
      answer('1', 'passed', `power ${stage} passed`),
      stop('2', 'current at its limit'),
      stop('3', 'something hot or smoking'),
      stop('4', 'a voltage is wrong'),
    ],
    lines: [...poweredExamples(board, rails[0]), `power ${stage} stopped and why`],
  };
}

export function viewCheck(check: string): Told {
  return {
    text: `Check its function: ${harmless(check)}.`,
    why: 'Your shop asks for it.',
    answers: [
      answer('1', 'passed', `function passed ${check}`),
      answer('2', 'failed', `function failed ${check}`),
    ],
  };
}

export function viewSoakStart(minutes: number): Told {
  return {
    text: 'Start the soak: the board runs at its usual load while it is watched.',
    why: 'What fails when it gets warm shows now, and not at the customer.',
    answers: [answer('1', `starts now, ${minutes} min`, `soak start ${minutes} min`)],
    lines: [
      'soak start 2 h',
      'function passed and what',
      'function failed and what',
      'skip soak and why',
    ],
  };
}

/** What may be read under power, with names of this board. */
function poweredExamples(board: Board, index = 0): string[] {
  const rail = board.rails[index];
  if (rail === undefined) return [];
  const nets = [rail.plus, rail.minus].map((net) => printPoint(board, { net }));
  return [`powered ${nets.join(' ')} ${rail.volts ?? 5} V`, `draws ${rail.name} 0.12 A`];
}

export function viewSoak(board: Board, soak: SoakState): Told {
  const warm = board.parts.find(({ heatsink }) => heatsink !== undefined) ?? board.parts[0];
  const isOver = soak.state === 'time is up';
  const { dueIn } = soak;
  const isDue = dueIn !== undefined && dueIn <= 0;
  const look = isDue
    ? 'an observation is due now'
    : `the next observation in ${formatSeconds(dueIn ?? soak.every)}`;
  return {
    text: isOver
      ? 'The soak has run its time. Did it pass?'
      : `The soak is running, ${formatSeconds(soak.left)} left; ${look}: heat, smell, noise, voltages?`,
    why: soak.needs.length === 0 ? '' : `Before it may be passed: ${soak.needs.join('; ')}.`,
    answers: [
      // Not the key that passed the stages before: a habit must not end a soak.
      isOver ? answer('1', 'passed', 'soak passed') : answer('e', 'passed early', 'soak passed'),
      answer('2', 'stopped: something hot or smoking', 'soak stopped something hot or smoking'),
      answer('3', 'stopped: it shut down', 'soak stopped it shut down'),
    ],
    lines: [
      'soak finding fan rattles',
      ...(warm === undefined ? [] : [`temp ${warm.name} 71 C`]),
      ...poweredExamples(board),
      'soak stopped and why',
    ],
  };
}

export const SIGN_OFF: Told = {
  text: 'Sign the job off.',
  why: 'Power-up and soak are through; the record tells what was measured and when.',
  answers: [
    answer('1', 'cleared', 'sign-off cleared'),
    answer('2', 'returned as it is', 'sign-off returned'),
    answer('3', 'uneconomic', 'sign-off uneconomic'),
  ],
  lines: ['sign-off cleared and words for the sheet'],
};
