/** What hands cannot do just now: steps passed over, and places that probes cannot reach. */
import type { Board } from '../board/model.ts';
import type { Evidence, Unreachable } from '../faults/evidence.ts';
import { stepKey } from '../steps/step-key.ts';
import type { Reached, Say } from './say.ts';
import { changesBoard } from './state-after.ts';

/** The evidence after a line about hands; the same object after any other line. */
export function learnHands(board: Board, evidence: Evidence, say: Say): Evidence {
  if (say.do === 'pass') {
    const passed = new Map([...(evidence.passed ?? []), [stepKey(say.step), say.text] as const]);
    return { ...evidence, passed };
  }
  if (say.do !== 'unreachable' && say.do !== 'reachable') return evidence;
  const { unreachable: before, ...rest } = evidence;
  const pins = new Set(before?.pins);
  const nets = new Set(before?.nets);
  if (say.do === 'unreachable') {
    for (const pin of pinsAt(board, say)) pins.add(pin);
    if (say.net !== undefined) nets.add(say.net);
  } else {
    for (const pin of pinsAt(board, say)) {
      pins.delete(pin);
      nets.delete(board.pins[pin]?.net ?? -1);
    }
    if (say.net !== undefined) nets.delete(say.net);
  }
  const unreachable: Unreachable = { pins, nets };
  return pins.size + nets.size === 0 ? rest : { ...rest, unreachable };
}

/** A step is passed over until it is done all the same, or work on the board makes it another one. */
export function withoutPassed(evidence: Evidence, say: Say): Evidence {
  const { passed, ...rest } = evidence;
  if (passed === undefined) return evidence;
  if (changesBoard(say)) return rest;
  const key = keyOf(say);
  if (key === undefined || !passed.has(key)) return evidence;
  const left = new Map(passed);
  left.delete(key);
  return left.size === 0 ? rest : { ...rest, passed: left };
}

function keyOf(say: Say): string | undefined {
  if (say.do === 'read') return stepKey({ kind: 'read', probe: say.reading });
  if (say.do !== 'look') return undefined;
  if (say.nets !== undefined) return stepKey({ kind: 'inspect', nets: say.nets });
  const { part = -1, pin } = say;
  return stepKey({ kind: 'look', part, ...(pin === undefined ? {} : { pin }) });
}

function pinsAt(board: Board, at: Reached): readonly number[] {
  if (at.net !== undefined) return board.nets[at.net]?.pins ?? [];
  return at.pin === undefined ? (board.parts[at.part]?.pins ?? []) : [at.pin];
}
