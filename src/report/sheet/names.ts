/** Words that more than one part of the sheet uses. */
import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import type { TakenReading } from '../../faults/evidence.ts';
import type { ActiveEvent } from '../../job/derive.ts';
import { printSay } from '../../job/print-say.ts';
import { takenText } from '../diagnosis-view.ts';

/** `2026-10-12 08:30 UTC`; empty for what comes from no record. */
export function timeText(at: string): string {
  return at === '' ? '' : `${at.slice(0, 10)} ${at.slice(11, 16)} UTC`;
}

/** `event 20, P48 to PH_U (beeper): beep`. */
export function eventText(board: Board, reading: TakenReading): string {
  return `event ${reading.id}, ${takenText(board, reading)}`;
}

/** `remove Q2 (event 24)`. */
export function workText(board: Board, { event, say }: ActiveEvent): string {
  return `${harmless(printSay(board, say))} (event ${event.n})`;
}
