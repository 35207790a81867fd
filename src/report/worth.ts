import { harmless } from '../board/shown-text.ts';
import type { Spread } from '../job/shop/spread.ts';
import type { PricedPart, Verdict, Worth } from '../job/shop/worth.ts';
import type { TimeSpent } from '../job/time-spent.ts';
import { moneySpread, moneyText } from './money.ts';
import type { Style } from './style.ts';
import { counted, listOf, runsOf } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

/** Whether a board is worth going on with, in names: what is shown, and what `--json` prints. */
export interface WorthView {
  readonly board: string;
  readonly currency: string;
  readonly minutes: {
    readonly spent: number;
    /** The same by stage, in the order they were first worked on. */
    readonly byStage: readonly StageMinutes[];
    /** Stretches left out as time away, and their minutes. */
    readonly breaks: number;
    readonly away: number;
    readonly left: Spread;
    readonly cold: Spread;
    readonly stages: readonly StageMinutes[];
  };
  readonly used: readonly PricedPartView[];
  readonly ahead: readonly PricedPartView[];
  readonly usedCost: number;
  readonly aheadCost: Spread;
  readonly spent?: number;
  readonly left?: Spread;
  readonly whole?: Spread;
  readonly leavesOut: Worth['leavesOut'];
  readonly value?: number;
  readonly limit?: number;
  readonly verdict?: Verdict;
  readonly isStuck: boolean;
  /** The warning, in a sentence; absent where there is nothing to warn of. */
  readonly warning?: string;
}

interface StageMinutes {
  readonly stage: string;
  readonly minutes: number;
}

export interface PricedPartView {
  readonly part: string;
  /** Pieces; on average, for those still to come. */
  readonly count: number;
  /** Of one; absent where it is not known. */
  readonly price?: number;
  readonly priceBy?: 'list' | 'usual';
}

/** What a job has cost and will cost, beside what its board is worth. */
export function viewWorth(
  board: string,
  currency: string,
  worth: Worth,
  spent: TimeSpent,
): WorthView {
  const { minutes, parts, verdict: _verdict, ...sums } = worth;
  const view: WorthView = {
    board: harmless(board),
    currency: harmless(currency),
    minutes: {
      ...minutes,
      byStage: [...spent.byStage].map(([stage, min]) => ({ stage, minutes: min })),
      breaks: spent.breaks,
      away: spent.awayMinutes,
    },
    used: parts.used.map(viewPart),
    ahead: parts.ahead.map(viewPart),
    usedCost: parts.usedCost,
    aheadCost: parts.aheadCost,
    ...sums,
    ...(worth.verdict === undefined ? {} : { verdict: worth.verdict }),
  };
  const warning = warningOf(view);
  return warning === undefined ? view : { ...view, warning };
}

/** The warning as a line or two, for other commands to end with; none where there is none. */
export function worthWarningLines({ warning }: WorthView, { width, palette }: Style): string[] {
  return warning === undefined ? [] : wrap(warning, width).map(palette.warn);
}

const INDENT = 10;
const MOST_NAMED = 6;

/** What it has cost, what it will most likely cost, and whether the board is worth that. */
export function worthLines(view: WorthView, style: Style): string[] {
  const row = (label: string, text: string): string[] => labelled(label, text, INDENT, style.width);
  const { currency, value } = view;
  const worth = value === undefined ? '' : `, worth ${moneyText(value, currency)} repaired`;
  return [
    ...wrap(`${view.board}${worth}`, style.width).map(style.palette.strong),
    ...row('So far', spentText(view)),
    ...(view.minutes.byStage.length === 0 ? [] : row('', minutesText(view.minutes.byStage))),
    ...(view.used.length === 0 ? [] : row('', usedText(view))),
    ...row('Still', leftText(view)),
    ...(view.minutes.left.high === 0 ? [] : row('', stagesText(view))),
    ...(view.ahead.length === 0 ? [] : row('', aheadText(view))),
    ...(view.whole === undefined ? [] : row('In all', wholeText(view))),
    ...missingOf(view).flatMap((text, k) => row(k === 0 ? 'Left out' : '', text)),
    ...worthWarningLines(view, style),
  ];
}

function spentText({ minutes, currency, spent, usedCost }: WorthView): string {
  const away =
    minutes.breaks === 0 ? '' : ` (${breaksText(minutes.breaks, minutes.away)} left out)`;
  const cost = spent === undefined ? '' : `: ${moneyText(spent - usedCost, currency)}`;
  return `${minutesOf(minutes.spent)} at the bench${away}${cost}`;
}

function breaksText(breaks: number, minutes: number): string {
  const long = minutesOf(minutes);
  return breaks === 1 ? `a break of ${long}` : `${counted(breaks, 'break')}, ${long} in all,`;
}

function usedText({ used, currency, usedCost }: WorthView): string {
  const sum = used.some(({ price }) => price !== undefined)
    ? `: ${moneyText(usedCost, currency)}`
    : '';
  return `new parts ${namesOf(used)}${sum}`;
}

function leftText({ minutes, left, currency, aheadCost, isStuck }: WorthView): string {
  if (isStuck)
    return 'not known: no step the tool knows would tell more, and it does not read clear';
  const { low, expected, high } = minutes.left;
  if (high === 0) return 'nothing';
  const [from, to] = [minutesOf(low), minutesOf(high)];
  const bounds = from === to ? '' : ` (${from} to${GLUE}${to})`;
  const sums =
    left === undefined ? '' : `: ${moneySpread(withoutParts(left, aheadCost), currency)}`;
  return `about ${minutesOf(expected)}${bounds}${sums}`;
}

/** Parts are told in a line of their own. */
function withoutParts(left: Spread, parts: Spread): Spread {
  const expected = left.expected - parts.expected;
  return {
    low: Math.min(expected, Math.max(0, left.low - parts.low)),
    expected,
    high: Math.max(expected, left.high - parts.high),
  };
}

function stagesText({ minutes, isStuck }: WorthView): string {
  const cold = Math.round(minutes.cold.expected);
  const clear = isStuck ? [] : [{ stage: 'to a board read clear', minutes: cold }];
  return minutesText([...clear, ...minutes.stages]);
}

/** `in min: intake 5, repair 24 and recheck 3`. */
function minutesText(stages: readonly StageMinutes[]): string {
  const texts = stages.map(({ stage, minutes }) => `${stage}${GLUE}${Math.round(minutes)}`);
  return `in min: ${listOf(texts, 12)}`;
}

function aheadText({ ahead, currency, aheadCost }: WorthView): string {
  const sum = ahead.some(({ price }) => price !== undefined)
    ? `: ${moneySpread(aheadCost, currency)}`
    : '';
  const likely = ahead.filter(({ count }) => count >= 0.995);
  const maybe = ahead.filter(({ count }) => count < 0.995);
  const texts = [
    ...(likely.length === 0
      ? []
      : [
          `${runsOf(
            likely.map(({ part }) => part),
            12,
          )} for sure`,
        ]),
    ...maybe
      .slice(0, MOST_NAMED)
      .map(({ part, count }) => `${part}${GLUE}(${Math.max(1, Math.round(count * 100))}${GLUE}%)`),
    ...(maybe.length > MOST_NAMED ? [`${maybe.length - MOST_NAMED} less likely`] : []),
  ];
  return `new parts ${listOf(texts, 20)}${sum}`;
}

function wholeText({ whole, value, currency }: WorthView): string {
  if (whole === undefined) return '';
  const share =
    value === undefined || value === 0
      ? ''
      : `, ${Math.round((whole.expected / value) * 100)}${GLUE}% of its value`;
  return `about ${moneySpread(whole, currency)}${share}`;
}

/** What no sum holds, each in a sentence. */
function missingOf(view: WorthView): string[] {
  const { leavesOut, value, used, ahead } = view;
  const unpriced = [...new Set([...used, ...ahead].filter((p) => p.price === undefined))];
  const names = [...new Set(unpriced.map(({ part }) => part))];
  return [
    ...(leavesOut.rate ? ['the time: the settings name no hourly-rate'] : []),
    ...(names.length === 0 ? [] : [`${runsOf(names, 10)}: no price is known`]),
    ...(value === undefined
      ? [`what it is worth: the settings name no value under boards: "${view.board}"`]
      : []),
  ];
}

function warningOf(view: WorthView): string | undefined {
  const { verdict, spent, whole, limit, value, currency } = view;
  if (verdict === undefined || verdict === 'within' || limit === undefined) return undefined;
  const most =
    limit === value
      ? `the board is worth ${moneyText(limit, currency)}`
      : `${moneyText(limit, currency)} of its ${moneyText(value ?? 0, currency)} may be spent`;
  const least = view.leavesOut.rate || view.leavesOut.parts ? 'at least ' : 'about ';
  if (verdict === 'beyond') {
    return `Beyond economic repair: ${moneyText(spent ?? 0, currency)} spent so far, and ${most}.`;
  }
  if (verdict === 'heading beyond') {
    return `Heading beyond economic repair: ${least}${moneyText(whole?.expected ?? 0, currency)} in all, and ${most}.`;
  }
  if (view.isStuck) {
    return `It may go beyond economic repair: how much is left is not known, and ${most}.`;
  }
  return `It may go beyond economic repair: up to ${moneyText(whole?.high ?? 0, currency)} in all, and ${most}.`;
}

function viewPart({ part, count, price }: PricedPart): PricedPartView {
  const name = harmless(part.name);
  if (price === undefined) return { part: name, count };
  return { part: name, count, price: price.price, priceBy: price.by };
}

function namesOf(parts: readonly PricedPartView[]): string {
  const single = parts.filter(({ count }) => count === 1).map(({ part }) => part);
  const more = parts.filter(({ count }) => count > 1).map(({ part, count }) => `${part} ${count}×`);
  return listOf([...(single.length === 0 ? [] : [runsOf(single, 10)]), ...more], 12);
}

/** `52 min`, `3 h 10 min`, `2 days 4 h`. */
export function minutesOf(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 120) return `${whole}${GLUE}min`;
  const hours = Math.floor(whole / 60);
  if (hours < 48) return joined([`${hours}${GLUE}h`, part(whole % 60, 'min')]);
  return joined([`${Math.floor(hours / 24)}${GLUE}days`, part(hours % 24, 'h')]);
}

function part(count: number, unit: string): string {
  return count === 0 ? '' : `${count}${GLUE}${unit}`;
}

function joined(texts: readonly string[]): string {
  return texts.filter((text) => text !== '').join(GLUE);
}
