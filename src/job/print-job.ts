/** Lines about the job as a whole, written out. */
import type { Board } from '../board/model.ts';
import { printScaled } from './decimal.ts';
import { printDuration } from './duration.ts';
import { partName, printPin, printPoint } from './points.ts';
import type { SayOfJob } from './say.ts';
import { printValue } from './value.ts';

/** Gives the line that reads back as `say`. */
export function printOfJob(board: Board, say: SayOfJob): string {
  switch (say.do) {
    case 'customer':
    case 'arrived':
    case 'marking':
    case 'technician':
      return `${say.do} ${say.text}`;
    case 'photo':
      return `photo ${printFile(say.file)}${printSpot(board, say)}${after(say.text)}`;
    case 'residual':
    case 'powered':
      return `${say.do} ${printPoint(board, say.red)} ${printPoint(board, say.black)} ${signed(say.volts)} V`;
    case 'isolation':
      return `isolation ${partName(board, say.part)} ${printValue({ mode: 'ohms', value: say.value })}`;
    case 'tick':
      return `tick ${say.parts.map((part) => partName(board, part)).join(' ')} ${say.item}`;
    case 'draws':
      return `draws ${board.rails[say.rail]?.name ?? '?'} ${signed(say.amps)} A`;
    case 'power':
      return `power ${say.stage} ${say.result}${after(say.text)}`;
    case 'function':
      return `function ${say.result} ${say.text}`;
    case 'soak':
      return say.what === 'start'
        ? `soak start ${printDuration(say.seconds)}`
        : `soak ${say.what}${after(say.text)}`;
    case 'temp':
      return `temp ${partName(board, say.part)} ${signed(say.celsius)} C`;
    case 'at': {
      const name = say.pin === undefined ? partName(board, say.part) : printPin(board, say.pin);
      return `at ${name} ${say.xy.map(signed).join(' ')}${after(say.side)}`;
    }
    case 'written':
      return `written ${say.digest}`;
    case 'skip':
      return `skip ${say.stage} ${say.text}`;
    case 'sign-off':
      return `sign-off ${say.result}${after(say.text)}`;
  }
}

function after(text: string | undefined): string {
  return text === undefined ? '' : ` ${text}`;
}

function printFile(file: string): string {
  return /[\s"]/u.test(file) ? `"${file.replaceAll('"', '""')}"` : file;
}

function printSpot(board: Board, { part, pin }: { part?: number; pin?: number }): string {
  if (pin !== undefined) return ` ${printPin(board, pin)}`;
  return part === undefined ? '' : ` ${partName(board, part)}`;
}

function signed(number: number): string {
  return `${number < 0 ? '-' : ''}${printScaled(Math.abs(number), 0)}`;
}
