import type { Rail } from '../board/model.ts';
import { reach } from '../circuit/conduction.ts';
import { isAcrossBoard, type Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import { furtherFactor } from '../faults/learnt.ts';
import type { Analysis } from './advise.ts';
import { actingWeight, type Choice, capital, readOutcomes } from './choice.ts';
import { isolate } from './isolate.ts';
import { minutesLeft } from './minutes-left.ts';
import { reachMinutes, readingMinutes } from './reach.ts';
import { restore } from './restore.ts';
import type { Advice } from './step.ts';
import type { SurveyReading } from './survey.ts';
import { pairName, partNames, percent, unitsName } from './words.ts';

/** Decides what to do next. */
export function planNext(analysis: Analysis): Advice {
  const choice = choose(analysis);
  return {
    ...choice,
    minutesLeft: choice.step.kind === 'done' ? 0 : minutesLeft(analysis, choice.minutes),
    others: choice.others ?? [],
    open: openPoints(analysis),
  };
}

/** What was passed over comes up again once nothing else is left. */
function choose(analysis: Analysis): Choice {
  const choice = firstOf(analysis) ?? takenUpAgain(analysis);
  return choice ?? done(analysis);
}

function firstOf(analysis: Analysis): Choice | undefined {
  return (
    firstRails(analysis) ??
    isolate(analysis) ??
    restore(analysis) ??
    prove(analysis) ??
    survey(analysis)
  );
}

function takenUpAgain(analysis: Analysis): Choice | undefined {
  const { workbench, evidence, beliefs, hypotheses, survey: unread, proof, offers } = analysis;
  if (!offers.hasPassed) return undefined;
  const choice = firstOf({
    workbench,
    evidence,
    beliefs,
    hypotheses,
    survey: unread,
    proof,
    offers: offers.withPassed(),
    get diagnosis() {
      return analysis.diagnosis;
    },
  });
  const reason = choice && offers.whyPassed(choice.step);
  return choice && reason !== undefined
    ? { ...choice, why: `${choice.why} It was passed over (${reason}), and nothing else is left.` }
    : choice;
}

/** Nets joined by less are the same copper as far as a first look goes. */
const SAME_COPPER_OHMS = 0.1;

/** Every rail once, before anything else: it is cheap and tells where to look. */
function firstRails(analysis: Analysis): Choice | undefined {
  const { evidence, workbench, beliefs } = analysis;
  const view = beliefs.problem.circuit.view(evidence.state);
  // Rails that share their copper over wire links are one to a beeper until a link is in doubt.
  const place = (net: number): number => Math.min(...reach(view, [], net, SAME_COPPER_OHMS).keys());
  const pair = (a: number, b: number): string => netPairKey(place(a), place(b));
  const seen = new Set(
    evidence.readings.filter(isAcrossBoard).map(({ red, black }) => pair(red.net, black.net)),
  );
  for (const { name, plus, minus } of railsInOrder(analysis, pair)) {
    if (plus === minus || seen.has(pair(plus, minus))) continue;
    const wanted = { mode: 'continuity', red: { net: plus }, black: { net: minus } } as const;
    const probe = analysis.offers.standIn(wanted);
    if (probe === undefined) continue;
    const step = { kind: 'read', probe, purpose: 'survey' } as const;
    if (!analysis.offers.has(step)) continue;
    return {
      phase: 'survey',
      step,
      minutes: readingMinutes(workbench.clock, evidence, probe),
      why: `Rail ${name} has not been read yet.`,
      outcomes: readOutcomes(analysis, probe),
    };
  }
  return undefined;
}

/** As the board file has them; where past boards taught, those first that show what failed most. */
function railsInOrder(
  { workbench, survey }: Analysis,
  pairOf: (a: number, b: number) => string,
): readonly Rail[] {
  const { rails } = workbench.board;
  if (workbench.bench.settings.learnt === undefined) return rails;
  const shown = new Map<string, number>();
  for (const { probe, faults } of survey.readings) {
    const pair = pairOf(probe.red.net, probe.black.net);
    shown.set(pair, Math.max(faults, shown.get(pair) ?? 0));
  }
  const of = ({ plus, minus }: Rail): number => shown.get(pairOf(plus, minus)) ?? 0;
  return [...rails].sort((x, y) => of(y) - of(x));
}

/** Rails and new parts are read again after the last change. */
function prove(analysis: Analysis): Choice | undefined {
  const wanted = analysis.proof
    .flatMap((item) => item.missing.map((probe) => ({ item, probe })))
    .filter(
      ({ probe }) =>
        timesRead(analysis, probe) < MOST_REPEATS &&
        analysis.offers.has({ kind: 'read', probe, purpose: 'prove' }),
    );
  const { workbench, evidence } = analysis;
  const minutes = (probe: Probe): number => readingMinutes(workbench.clock, evidence, probe);
  const [first, ...rest] = wanted;
  // A rail tells most; after the rails, whatever a probe is on already.
  const next =
    first?.item.what === 'rail'
      ? first
      : rest.reduce((best, one) => {
          return best !== undefined && minutes(one.probe) < minutes(best.probe) ? one : best;
        }, first);
  if (next === undefined) return undefined;
  const { item, probe } = next;
  const why =
    item.what === 'rail'
      ? `${capital(item.name)} has not been read clear since the last change.`
      : `${item.name} is new and has not been read clear on its pads.`;
  return {
    phase: 'prove',
    step: { kind: 'read', probe, purpose: 'prove' },
    minutes: minutes(probe),
    why,
    outcomes: readOutcomes(analysis, probe),
  };
}

/** A proof that has failed as often since the last change is not asked for again. */
const MOST_REPEATS = 2;

function timesRead({ evidence }: Analysis, { mode, red, black }: Probe): number {
  const pair = netPairKey(red.net, black.net);
  return evidence.readings.filter(
    (reading) =>
      reading.id > evidence.lastChange &&
      reading.mode === mode &&
      isAcrossBoard(reading) &&
      netPairKey(reading.red.net, reading.black.net) === pair,
  ).length;
}

/** Faults nothing has spoken of yet: read on until few are expected. */
function survey(analysis: Analysis): Choice | undefined {
  const { survey, workbench, evidence } = analysis;
  const next = nearestOf(analysis);
  const unread = survey.unread * furtherFactor(workbench.bench.settings.learnt, evidence);
  if (next === undefined || unread <= workbench.steps.proofRisk) return undefined;
  return {
    phase: 'survey',
    step: { kind: 'read', probe: next.probe, purpose: 'survey' },
    minutes: readingMinutes(workbench.clock, evidence, next.probe),
    why: `Speaks for ${partNames(analysis.workbench.board, next.parts)}, which nothing has been read across yet.`,
    outcomes: readOutcomes(analysis, next.probe),
  };
}

/**
 * The reading that shows most for its minutes, the way to it counted: of readings that say much the
 * same, the one beside the last, on the side that lies up.
 */
function nearestOf({ survey, evidence, workbench, offers }: Analysis): SurveyReading | undefined {
  const last = evidence.readings.at(-1);
  const readings = survey.readings.filter(({ probe }) =>
    offers.has({ kind: 'read', probe, purpose: 'survey' }),
  );
  if (last === undefined || last.offPart !== undefined) return readings[0];
  const rate = ({ probe, faults }: SurveyReading): number =>
    faults /
    (readingMinutes(workbench.clock, evidence, probe) + reachMinutes(workbench.board, last, probe));
  let best: SurveyReading | undefined;
  let most = 0;
  for (const reading of readings) {
    const here = rate(reading);
    if (best !== undefined && here <= most) continue;
    best = reading;
    most = here;
  }
  return best;
}

/** What the proof readings leave of a doubt may not be more than this. */
const MOST_DOUBT = 0.1;

function done(analysis: Analysis): Choice {
  const base = { step: { kind: 'done' as const }, minutes: 0, outcomes: [] };
  const acting = actingWeight(analysis);
  const unproven = analysis.proof.filter(({ holds }) => !holds).map(({ name }) => name);
  if (unproven.length > 0) return { ...base, phase: 'isolate', why: deadEnd(analysis, unproven) };
  if (acting < MOST_DOUBT) {
    const why =
      'Every rail and every replaced part read clear after the last change, and nothing is off the board.';
    return { ...base, phase: 'clear', why };
  }
  const left = analysis.hypotheses.find(({ units }) => units.length > 0);
  const name = unitsName(analysis.workbench.board, left?.units ?? []);
  const why = `No reading would tell more, but ${name} still carries weight (${percent(acting)} in all): renew it, or accept the doubt.`;
  return { ...base, phase: 'isolate', why };
}

/** What is left to a person where the board does not read clear and no step listed would help. */
function deadEnd(analysis: Analysis, unproven: readonly string[]): string {
  const { board } = analysis.workbench;
  const heaviest = analysis.hypotheses.find(({ units }) => units.length > 0)?.units ?? [];
  const suspected =
    heaviest.length > 0
      ? `what explains it best is ${unitsName(board, heaviest)}`
      : 'nothing in the board file explains it';
  return `${capital(unproven.join(', '))} ${unproven.length > 1 ? 'do' : 'does'} not read clear, and no step the tool knows would tell more; ${suspected}. Look for solder and damage there, read other pairs, or tell the board file of a path it lacks ("link NET NET").`;
}

function openPoints(analysis: Analysis): string[] {
  const { proof, workbench, offers } = analysis;
  const told = (probe: Probe): string =>
    `${pairName(workbench.board, probe)}${offers.canProbe(probe) ? '' : ' (no probe reaches it)'}`;
  return proof
    .filter(({ holds }) => !holds)
    .map(({ what, name, missing }) =>
      what === 'refit'
        ? `${name} is not back on the board`
        : `${name} not read clear: ${missing.map(told).join(', ')}`,
    );
}
