import { scanDuration } from '../../job/duration.ts';
import { checksFor } from '../../job/shop/shop.ts';
import { splitWords } from '../../job/words.ts';
import { viewPowerPlan } from '../../report/power-plan.ts';
import { isOn, type SoakView, viewSoak } from '../../report/soak.ts';
import type { Run } from '../context.ts';
import { gatesOf, powerPlanOf } from '../engine.ts';
import { type ReadJob, readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { refused, resultOf, startSoak } from '../soak/outcome.ts';

/**
 * The soak of a job. With a time it is started; at a terminal it is then watched, elsewhere its state
 * is printed. It lives in the record: leaving, or the end of the program, does not end it.
 */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...time] = words;
  const seconds = time.length === 0 ? undefined : secondsOf(time);
  const boardPath = boardOption(options);
  const read = await readJob(context, path, boardPath);
  warnOf(context, read);
  await cautionOnReturn(context, read);
  const isAtTerminal =
    !context.json && context.stdin.isTTY === true && context.stderr.isTTY === true;
  const before = viewOf(read);
  if (isAtTerminal) {
    const { soakAtTerminal } = await import('../soak/at-terminal.ts');
    return await soakAtTerminal(context, {
      path,
      boardPath,
      read,
      seconds,
      blocked: blockedBy(read),
    });
  }
  if (seconds === undefined) return resultOf(path, before);
  const blocked = isOn(before) ? ['a soak is on already; stop it first'] : blockedBy(read);
  if (blocked.length > 0) return refused(path, before, blocked);
  await startSoak(context, path, boardPath, seconds);
  return resultOf(path, viewOf(await readJob(context, path, boardPath)));
};

function secondsOf(time: readonly string[]): number {
  const text = time.join(' ');
  const line = { text, place: { file: 'typed', line: 1 } };
  return scanDuration(line, splitWords(text));
}

function viewOf({ board, derived, inForce }: ReadJob): SoakView {
  const every = inForce.shop.thresholds.soak.observeEvery * 60;
  return viewSoak(board, powerPlanOf(board), derived, { nowMs: Date.now(), every });
}

/** Why a soak may not begin; empty when it may. */
function blockedBy({ board, derived, inForce }: ReadJob): string[] {
  const checks = checksFor(inForce.shop, board.name);
  const gates = gatesOf(board, derived);
  const power = viewPowerPlan(board, powerPlanOf(board), derived, gates, checks);
  if (!power.ready) return power.missing.map(({ name, needs }) => `${name}: ${needs.join('; ')}`);
  const stages = power.stages
    .filter(({ state }) => state !== 'passed')
    .map(({ number, rails }) => `power stage ${number} (${rails.join(', ')}) is not passed`);
  const functions = power.functions
    .filter(({ isAsked, state }) => isAsked && state !== 'passed')
    .map(({ text }) => `function check "${text}" is not passed`);
  return [...stages, ...functions];
}
