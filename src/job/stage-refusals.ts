/** Lines that a job may not hold yet: readings of a charged board, power before its gates, an early end. */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { formatJoules, formatOhms, formatVolts, formatWatts } from '../board/units.ts';
import { type Charge, refusedCharge } from './discharge.ts';
import { type DischargeLimits, limitText } from './discharge-limits.ts';
import type { JobPurpose } from './event-line.ts';
import { printPoint } from './points.ts';
import type { Say } from './say.ts';
import { soakState } from './soak.ts';
import { clearingNeeds, gateNeeds, type PowerFacts, passedStages, powerUp } from './stage-rules.ts';
import { lineOf, problem, type SayPlace, splitWords } from './words.ts';

/** What the refusals look at; worked out only when a line asks for it. */
export interface Keeper {
  readonly board: Board;
  readonly purpose: JobPurpose;
  readonly limits: DischargeLimits;
  readonly charges: () => readonly Charge[];
  readonly power: () => PowerFacts;
}

interface Refusal {
  readonly message: string;
  readonly hint: string;
}

/**
 * Lets a line through, or says what stands in its way.
 * @throws {InputError} with code `NOT_NOW`
 */
export function checkStage(keeper: Keeper, say: Say, text: string, place?: SayPlace): void {
  const refusal = refusalOf(keeper, say);
  if (refusal === undefined) return;
  const fault: Diagnostic = problem(lineOf(text, place), splitWords(text), {
    code: 'NOT_NOW',
    ...refusal,
  });
  throw new InputError([fault]);
}

function refusalOf(keeper: Keeper, say: Say): Refusal | undefined {
  switch (say.do) {
    case 'read':
      return say.reading.offPart === undefined ? chargedBoard(keeper, 'cold reading') : undefined;
    case 'inject':
      return chargedBoard(keeper, 'injected current');
    case 'power':
      return say.result === 'passed' ? earlyPower(keeper.power(), say.stage) : undefined;
    case 'soak':
      return earlySoak(keeper.power(), say.what);
    case 'skip':
      return keeper.purpose === 'refurbish' && say.stage !== 'soak'
        ? {
            message: `a refurbishment does not leave out its ${say.stage}`,
            hint: `see next for what the ${say.stage} still needs`,
          }
        : undefined;
    case 'sign-off':
      return say.result === 'cleared' ? earlyEnd(keeper.power()) : undefined;
    default:
      return undefined;
  }
}

function chargedBoard(
  { board, charges, limits }: Keeper,
  what: 'cold reading' | 'injected current',
): Refusal | undefined {
  const charge = refusedCharge(charges());
  if (charge?.last === undefined) return undefined;
  const { nets, stored, last, joules } = charge;
  const [plus, minus] = nets.map((net) => printPoint(board, { net }));
  const held = `${formatVolts(Math.abs(last.volts))}${joules > 0 ? `, ${formatJoules(joules)}` : ''}`;
  const message = `${plus} to ${minus} held ${held} in event ${last.event}: no ${what} above ${limitText(limits)}`;
  const through =
    stored === undefined
      ? ''
      : ` through ${formatOhms(stored.bleedOhms)}, ${formatWatts((last.volts * last.volts) / stored.bleedOhms)} at first`;
  const hint = `discharge it${through}; measure, then record: residual ${plus} ${minus} 0.2 V`;
  return { message, hint };
}

function earlyPower(facts: PowerFacts, stage: number): Refusal | undefined {
  const open = gateNeeds(facts.gates);
  if (open.length > 0) return { message: 'power-up is not offered yet', hint: shortList(open) };
  const last = facts.powerPlan.at(-1)?.stage ?? 0;
  if (stage > last) {
    return {
      message: `the power-up plan has no stage ${stage}`,
      hint: `its last stage is ${last}`,
    };
  }
  const passed = passedStages(facts.job);
  const before = facts.powerPlan.find((one) => one.stage < stage && !passed.has(one.stage));
  if (before === undefined) return undefined;
  return { message: `stage ${before.stage} comes before stage ${stage}`, hint: before.text };
}

function earlySoak(facts: PowerFacts, what: string): Refusal | undefined {
  const { state: soaking } = soakState(facts.job, 0);
  if (what === 'passed' && soaking !== 'running' && soaking !== 'time is up') {
    return { message: 'no soak is running', hint: 'begin it with: soak start 60 min' };
  }
  if (what !== 'start') return undefined;
  const { state, needs } = powerUp(facts);
  return state === 'done'
    ? undefined
    : { message: 'the soak comes after power-up', hint: shortList(needs) };
}

function earlyEnd(facts: PowerFacts): Refusal | undefined {
  const needs = clearingNeeds(facts);
  if (needs.length === 0) return undefined;
  const hint = `${shortList(needs)}; a board that goes back as it is: sign-off returned`;
  return { message: 'this board is not cleared yet', hint };
}

const MOST_SHOWN = 4;

function shortList(needs: readonly string[]): string {
  const shown = needs.slice(0, MOST_SHOWN).join('; ');
  const more = needs.length - MOST_SHOWN;
  return more > 0 ? `${shown}; and ${more} more` : shown;
}
