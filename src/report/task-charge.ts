/** The tasks before a cold reading: the voltage left, and taking it away. */
import type { Board } from '../board/model.ts';
import {
  formatFarads,
  formatJoules,
  formatOhms,
  formatSeconds,
  formatVolts,
  formatWatts,
} from '../board/units.ts';
import type { Charge } from '../job/discharge.ts';
import { type DischargeLimits, limitText } from '../job/discharge-limits.ts';
import { printPoint } from '../job/points.ts';
import { netName, partNames } from './names.ts';
import { answer, type Told } from './task-told.ts';
import { runsOf } from './words.ts';

function pairOf(board: Board, { nets }: Charge): { names: string[]; line: string } {
  const names = nets.map((net) => netName(board, net));
  const line = `residual ${nets.map((net) => printPoint(board, { net })).join(' ')}`;
  return { names, line };
}

export function viewResidual(board: Board, charge: Charge): Told {
  const { names, line } = pairOf(board, charge);
  const [plus, minus] = names;
  const again = charge.state === 'again';
  const text = `Measure the voltage left from ${plus} (red) to ${minus} (black)${again ? ' once more' : ', meter on DC volts'}.`;
  const why = again
    ? `It was charged and is discharged; electrolytics get part of their charge back within minutes.`
    : `${heldText(board, charge)} ${bleedText(charge)}`.trim();
  return {
    text,
    why,
    points: names,
    value: line,
    answers: [answer('z', 'reads 0 V', `${line} 0 V`)],
    lines: [`${line} 0.2 V`],
  };
}

/** `C5–C7, 164 µF, may hold 8.66 J at 325 V.` */
function heldText(board: Board, { stored }: Charge): string {
  if (stored === undefined) return '';
  const { parts, farads, volts, voltsFrom, joules } = stored;
  const rated = voltsFrom === 'rated' ? ', their rating' : '';
  return `${runsOf(partNames(board, parts), 4)}, ${formatFarads(farads)}, may hold ${formatJoules(joules)} at ${formatVolts(volts)}${rated}.`;
}

function bleedText({ stored }: Charge): string {
  if (stored === undefined) return '';
  const { bleedOhms, bleedWatts, bleedSeconds } = stored;
  const time = formatSeconds(Math.max(1, Math.ceil(bleedSeconds)));
  return `If it is charged: ${formatOhms(bleedOhms)} (${formatWatts(bleedWatts)} at first) takes it to 1 V in ${time}.`;
}

export function viewDischarge(board: Board, charge: Charge, limits: DischargeLimits): Told {
  const { names, line } = pairOf(board, charge);
  const volts = Math.abs(charge.last?.volts ?? 0);
  const { stored } = charge;
  const through =
    stored === undefined
      ? 'a resistor rated for the voltage and the pulse'
      : `${formatOhms(stored.bleedOhms)} rated for ${formatVolts(Math.max(volts, stored.volts))} (${formatWatts((volts * volts) / stored.bleedOhms)} at first)`;
  const wait =
    stored === undefined
      ? ''
      : `, ${formatSeconds(Math.max(1, Math.ceil(stored.bleedOhms * stored.farads * Math.log(Math.max(volts, 1)))))}`;
  const held = charge.joules > 0 ? ` (${formatJoules(charge.joules)})` : '';
  return {
    text: `Discharge ${names.join(' to ')} through ${through}${wait}, insulated clips, one hand; then measure it again.`,
    why: `It held ${formatVolts(volts)}${held} in event ${charge.last?.event}. No cold reading above ${limitText(limits)}.`,
    points: names,
    value: line,
    lines: [`${line} 0.2 V`],
  };
}
