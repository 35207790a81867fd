/** What to do while a current is injected. */
import type { Board } from '../board/model.ts';
import type { Injection } from '../circuit/reading.ts';
import { copperExamples } from './injection.ts';
import { netName } from './names.ts';
import { answer, type Told } from './task-told.ts';

/** Millivolts along the copper that carries the current, until it is switched off. */
export function viewInjecting(board: Board, { red, black }: Injection): Told {
  const [pads, warm] = copperExamples(board, red.net, black.net);
  const nets = [...new Set([red.net, black.net])].map((net) => netName(board, net)).join(' or ');
  return {
    text: `Read millivolts between pads of ${nets}, or switch the supply off and take its leads off.`,
    why: 'Along the copper they fall towards the short, and not at all beyond it. Anything else waits until the current is off.',
    answers: [answer('1', 'supply is off', 'inject off')],
    lines: [...(pads.length < 2 ? [] : [`${pads.join(' ')} 1.8 mV`]), `look ${warm} warm`],
  };
}
