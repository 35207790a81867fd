/** Voltages that should have been measured before a reading, and were not. */
import type { Board } from '../board/model.ts';
import { formatFarads, formatVolts } from '../board/units.ts';
import type { Charge } from '../job/discharge.ts';
import { printPoint } from '../job/points.ts';
import { netName } from './names.ts';
import type { Style } from './style.ts';
import { wrap } from './wrap.ts';

/** `residual P48 GND`: the line that records it, without its value. */
export function residualLine(board: Board, { nets }: Charge): string {
  return `residual ${nets.map((net) => printPoint(board, { net })).join(' ')}`;
}

/** Voltages that should have been measured before a reading, as lines of text. */
export function unmeasuredLines(
  board: Board,
  charges: readonly Charge[],
  { width, palette }: Style,
): string[] {
  const told = charges.map((charge) => {
    const [plus, minus] = charge.nets.map((net) => netName(board, net));
    const { farads = 0, volts = 0 } = charge.stored ?? {};
    return `${plus} to ${minus} (${formatFarads(farads)}, up to ${formatVolts(volts)}): record ${residualLine(board, charge)} 0.2 V`;
  });
  const head = 'Recorded, but no voltage left was measured before a reading there:';
  return [head, ...told.map((text) => `- ${text}`)]
    .flatMap((text) => wrap(text, width))
    .map(palette.warn);
}
