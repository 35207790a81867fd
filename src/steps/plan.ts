import type { Rail } from '../board/model.ts';
import { reach } from '../circuit/conduction.ts';
import { isAcrossBoard, type Probe } from '../circuit/reading.ts';
import { netPairKey } from '../circuit/state.ts';
import { furtherFactor } from '../faults/learnt.ts';
import type { Analysis } from './advise.ts';
import { actingWeight, type Choice, capital, readOutcomes } from './choice.ts';
import { isolate } from './isolate.ts';
import { minutesLeft } from './minutes-left.ts';
import { isOfRepair, type ProofItem } from './proof.ts';
import { readingMinutes } from './reach.ts';
import { restore } from './restore.ts';
import type { Advice } from './step.ts';
import { firstOfTour } from './survey-tour.ts';
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
    prove(analysis, analysis.proof.filter(isOfRepair)) ??
    survey(analysis) ??
    prove(analysis, analysis.proof)
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
function prove(analysis: Analysis, items: readonly ProofItem[]): Choice | undefined {
  const wanted = missing(analysis, items);
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
  return proving(analysis, next);
}

function proving(analysis: Analysis, { item, probe }: ProofReading): Choice {
  const why =
    item.what === 'rail'
      ? `${capital(item.name)} has not been read clear since the last change.`
      : `${item.name} is new and has not been read clear on its pads.`;
  return {
    phase: isOfRepair(item) ? 'prove' : 'survey',
    step: { kind: 'read', probe, purpose: 'prove' },
    minutes: readingMinutes(analysis.workbench.clock, analysis.evidence, probe),
    why,
    outcomes: readOutcomes(analysis, probe),
  };
}

/** What is still to be read for these, and may be. */
function missing(analysis: Analysis, items: readonly ProofItem[]): ProofReading[] {
  return items
    .flatMap((item) => item.missing.map((probe) => ({ item, probe })))
    .filter(
      ({ probe }) =>
        timesRead(analysis, probe) < MOST_REPEATS &&
        analysis.offers.has({ kind: 'read', probe, purpose: 'prove' }),
    );
}

interface ProofReading {
  readonly item: ProofItem;
  readonly probe: Probe;
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

/**
 * Faults nothing has spoken of yet: read on until few are expected. Rails that still have to be read clear are
 * read on the way, but for those that a reading of the survey reads.
 */
function survey(analysis: Analysis): Choice | undefined {
  const { survey, workbench, evidence, offers, proof } = analysis;
  const risk = workbench.steps.proofRisk / furtherFactor(workbench.bench.settings.learnt, evidence);
  if (survey.unread <= risk) return undefined;
  const cover = survey.cover(risk, workbench.clock, offers);
  if (cover.length === 0) return undefined;
  const read = new Set(cover.map(({ probe: { red, black } }) => netPairKey(red.net, black.net)));
  const rails = missing(analysis, proof).filter(
    ({ probe: { red, black } }) => !read.has(netPairKey(red.net, black.net)),
  );
  const next = firstOfTour(analysis, [...cover, ...rails]);
  if (next === undefined) return undefined;
  if ('item' in next) return proving(analysis, next);
  return {
    phase: 'survey',
    step: { kind: 'read', probe: next.probe, purpose: 'survey' },
    minutes: readingMinutes(workbench.clock, evidence, next.probe),
    why: `Speaks for ${partNames(analysis.workbench.board, next.parts)}, which nothing has been read across yet.`,
    outcomes: readOutcomes(analysis, next.probe),
  };
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
