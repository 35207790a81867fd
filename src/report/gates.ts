import { harmless } from '../board/shown-text.ts';
import type { Gate } from '../job/gates.ts';
import type { Style } from './style.ts';
import { wrap } from './wrap.ts';

/**
 * What was and was not read since the last change, once nothing is left to measure. It tells what
 * the meter showed, and leaves the rest to the person.
 */
export function gateLines(gates: readonly Gate[], style: Style): string[] {
  const held = gates.filter(({ holds }) => holds);
  const open = gates.filter(({ holds }) => !holds);
  const item = (text: string): string[] => wrap(`- ${harmless(text)}`, style.width);
  return [
    ...(held.length > 0 ? ['Since the last change:'] : []),
    ...held.flatMap(({ name }) => item(name)),
    ...(open.length > 0 ? ['Not yet:'] : []),
    ...open.flatMap(({ name, needs }) => item(`${name}: ${needs.join('; ')}`)),
    ...wrap(
      'A cold reading does not show every fault. First power: current-limited, as your local codes ' +
        'and licensed practice say.',
      style.width,
    ).map(style.palette.warn),
  ];
}
