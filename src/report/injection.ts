/** A current sent into the cold board: how to set it, where to clip it, what to mind and what to expect. */
import type { Board, Part } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { formatAmps, formatFarads, formatOhms, formatVolts, formatWatts } from '../board/units.ts';
import type { Injection, Point } from '../circuit/reading.ts';
import type { InjectionAdvice, InjectionDoubt } from '../job/injection/advice.ts';
import type { AmpsLimit } from '../job/injection/amps.ts';
import { viewCautions } from './cautions.ts';
import { netName, partName, partNames, pinName, pointName } from './names.ts';
import type { Style } from './style.ts';
import { listOf, runsOf } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

/** The advice in names and sentences: what is shown, and what `--json` prints. */
export interface InjectionView {
  /** Name of the rail, where the two nets are one. */
  readonly rail?: string;
  /** Nets that the supply's plus and minus go to. */
  readonly plus: string;
  readonly minus: string;
  /** Most that the supply's voltage is set to, V, and its current, A; the current to begin with, A. */
  readonly volts: number;
  readonly amps: number;
  readonly firstAmps: number;
  /** Where the clips go. */
  readonly clips: { readonly plus: string; readonly minus: string };
  /** Ω of a short above which the supply comes to its voltage before its current. */
  readonly mostOhms: number;
  /** V along one square of copper at the first current. */
  readonly squareVolts: number;
  /** Why the settings are what they are, and what nobody knows. */
  readonly because: readonly string[];
  readonly before: readonly string[];
  /** What to do, in order. */
  readonly steps: readonly string[];
  readonly expect: readonly string[];
  readonly stop: readonly string[];
}

/** A part is too hot to go on above this, °C. */
const HOT_CELSIUS = 60;
/** V that may be left on the capacitors when the clips go on: they would drive the supply backwards. */
const LEFT_VOLTS = 0.1;

const STOPS: readonly string[] = [
  `anything above about ${HOT_CELSIUS} °C, or too hot for the back of a finger`,
  'smell, smoke, a crack',
  'the supply rises to its voltage: the short has opened, or a clip has come off',
  'the current falls by itself, or jumps',
];

/** Puts names in place of the board numbers of advice on an injected current. */
export function viewInjection(board: Board, advice: InjectionAdvice): InjectionView {
  const { red, black, supply, current, clips, mostOhms, squareVolts } = advice;
  const rail = board.rails.find(({ plus, minus }) => plus === red && minus === black);
  return {
    ...(rail === undefined ? {} : { rail: harmless(rail.name) }),
    plus: netName(board, red),
    minus: netName(board, black),
    volts: supply.volts,
    amps: current.amps,
    firstAmps: current.firstAmps,
    clips: { plus: harmless(clips[0]), minus: harmless(clips[1]) },
    mostOhms,
    squareVolts,
    because: reasons(board, advice),
    before: beforehand(board, advice),
    steps: stepsFor(board, advice),
    expect: expected(advice),
    stop: STOPS,
  };
}

function reasons(board: Board, { red, black, supply, current }: InjectionAdvice): string[] {
  const { volts, heldBy, ifSwapped } = supply;
  const { limits, unknown, unknownNets } = current;
  const [lowest] = limits;
  const swapped =
    ifSwapped.length === 0
      ? 'IC pins tolerate only about 0.3 V the other way round'
      : `turned round, ${partList(board, ifSwapped)} would conduct, and IC pins tolerate only about 0.3 V that way`;
  return [
    heldBy.length === 0
      ? `${formatVolts(volts)}: silicon junctions stay off below it, and no other lies in its way.`
      : `${formatVolts(volts)}: above it ${partList(board, heldBy)} would conduct and take current from the short.`,
    `Plus on ${netName(board, red)}, minus on ${netName(board, black)}: ${swapped}.`,
    lowest === undefined
      ? `${formatAmps(current.amps)}: the general limit; nothing in the board file asks for less.`
      : `${formatAmps(current.amps)}: ${limitText(board, lowest)}.`,
    ...(unknown.length === 0
      ? []
      : [
          `What ${partList(board, unknown)} may carry is not in the board file: look it up before going above ${formatAmps(current.firstAmps)}.`,
        ]),
    ...(unknownNets.length === 0
      ? []
      : [
          `How wide the copper of ${listOf(unknownNets.map((net) => netName(board, net)))} is at its narrowest the board file does not say.`,
        ]),
  ];
}

function limitText(board: Board, limit: AmpsLimit): string {
  if (limit.by === 'copper') {
    const { net, width, ounces, isOuncesAssumed } = limit;
    const weight = `${ounces} oz${isOuncesAssumed ? ' (assumed)' : ''}`;
    return `traces of ${netName(board, net)}, ${width} mm of ${weight}, warm by 10 K at ${formatAmps(limit.amps)} (IPC-2221, inner layer)`;
  }
  const name = partName(board, limit.part);
  return limit.by === 'mark'
    ? `three quarters of what ${name} is marked with`
    : `${name} turns ${formatWatts(limit.watts)} into heat at ${formatAmps(limit.amps)}`;
}

function beforehand(board: Board, { red, black, stored, clips }: InjectionAdvice): string[] {
  const { mains, mainsReason } = viewCautions(board);
  const farads = stored.reduce((sum, each) => sum + each.farads, 0);
  const own = board.rails.find(({ plus, minus }) => plus === red && minus === black)?.volts;
  const volts = own ?? Math.max(0, ...stored.map((each) => each.volts));
  const held =
    stored.length === 0
      ? ''
      : ` ${formatFarads(farads)} lies across it, charged to ${formatVolts(volts)} when it ran.`;
  return [
    `Unplugged, batteries out, discharged: measure below ${formatVolts(LEFT_VOLTS)} from ${harmless(clips[0])} to ${harmless(clips[1])}, as what is left drives the supply backwards.${held}`,
    ...(mains
      ? [
          `Mains side (${mainsReason}): isolated from the mains, and so is the supply; local codes and licensed practice come first.`,
        ]
      : []),
  ];
}

function stepsFor(board: Board, { red, black, supply, current, clips }: InjectionAdvice): string[] {
  const [plus, minus] = clips.map(harmless);
  const amps = formatAmps(current.firstAmps);
  const more =
    current.amps > current.firstAmps
      ? `, at most ${formatAmps(current.amps)} where the millivolts are too few`
      : '';
  const [pads, warm] = copperExamples(board, red, black);
  const line = `inject ${plus} ${minus} ${current.firstAmps} A`;
  return [
    `Away from the board: voltage to ${formatVolts(supply.volts)}, then its leads shorted and the limit to ${amps}${more}. Output off.`,
    `Clip plus to ${plus} and minus to ${minus}, or to other large pads of ${netName(board, red)} and ${netName(board, black)} far from the suspects. Output on.`,
    `Record the pads and what it shows: ${line}`,
    `Probes on pads, never on the clips: ${pads.join(' ')} 1.8 mV. Hold them together first: what they show then comes off each reading. Do not linger: copper gains 0.4 % with each kelvin.`,
    `Feel for warmth with the back of a finger: look ${warm} warm`,
    'Output off, clips off, then: inject off',
  ];
}

/** Two pads of the net, and a part between the two nets, for lines that may be typed as they stand. */
export function copperExamples(board: Board, red: number, black: number): [string[], string] {
  const parts = board.parts.filter(({ pins }) => pins.length > 1);
  const on = (net: number) => (part: (typeof parts)[number]) =>
    part.pins.find((pin) => board.pins[pin]?.net === net);
  const across = parts.filter(
    (part) => on(red)(part) !== undefined && on(black)(part) !== undefined,
  );
  const isCapacitor = ({ kind }: Part): boolean => kind.value === 'farads';
  across.sort((a, b) => Number(isCapacitor(b)) - Number(isCapacitor(a)));
  const all = [...across, ...parts.filter((part) => !across.includes(part))];
  const pins = all.flatMap((part) => on(red)(part) ?? []);
  const pads = [pins[0], pins.at(Math.min(across.length, pins.length) - 1)];
  const warm = all[0]?.index ?? -1;
  return [
    pads.flatMap((pin) => (pin === undefined ? [] : pinName(board, pin))),
    partName(board, warm),
  ];
}

function expected({ mostOhms, squareVolts, healthyOhms, supply }: InjectionAdvice): string[] {
  const bypass = healthyOhms < HEALTHY_OHMS ? healthyText(healthyOhms, supply.volts) : [];
  return [
    `A short below about ${formatOhms(mostOhms)} holds the supply at its current; above that it stands at its voltage, and the smaller current it shows is what is recorded.`,
    `About ${formatVolts(squareVolts)} along each square of copper on the way, nothing beyond the short.`,
    ...bypass,
  ];
}

/** More than this takes nothing that counts. */
const HEALTHY_OHMS = 100;

function healthyText(ohms: number, volts: number): string[] {
  return [
    `A sound board takes up to ${formatAmps(volts / ohms)} of it (${formatOhms(ohms)} between the two).`,
  ];
}

function partList(board: Board, parts: readonly number[]): string {
  return runsOf(partNames(board, parts), 6);
}

const INDENT = 8;

/** Settings, places and cautions for a current into a rail, as lines of text. */
export function injectionLines(view: InjectionView, style: Style): string[] {
  const { palette, width } = style;
  const { rail, plus, minus, volts, firstAmps, amps } = view;
  const name = rail === undefined ? `${plus} to ${minus}` : `${rail}: ${plus} to ${minus}`;
  const upTo = amps > firstAmps ? `, up to ${formatAmps(amps)} if need be` : '';
  const set = `${formatVolts(volts)} at most, ${formatAmps(firstAmps)} to begin with${upTo}; plus on ${plus}.`;
  const block = (label: string, texts: readonly string[]): string[] =>
    texts.flatMap((text, index) => labelled(index === 0 ? label : '', glued(text), INDENT, width));
  const marked = (texts: readonly string[]): string[] => texts.map((text) => `- ${text}`);
  return [
    ...wrap(`A current into ${name}`, width).map(palette.strong),
    ...block('Set', [set]).map(palette.strong),
    ...block('Before', view.before).map(palette.warn),
    ...block('Why', view.because),
    ...block(
      'Do',
      view.steps.map((text, index) => `${index + 1}${GLUE}${text}`),
    ),
    ...block('Expect', view.expect),
    ...block('Stop', marked(view.stop)).map(palette.warn),
  ];
}

/** What goes on stderr when a current has been recorded, in a few lines, with what is amiss with it. */
export function injectionCautionLines(
  view: InjectionView,
  doubts: readonly InjectionDoubt[],
  { width, palette }: Style,
): string[] {
  const { plus, volts, amps } = view;
  const texts = [
    ...doubts.map((doubt) => doubtText(view, doubt)),
    `Injecting: plus on ${plus}, ${formatVolts(volts)} and ${formatAmps(amps)} at most, set before the clips go on; unplugged, discharged, measured. Never unwatched.`,
    `Stop at ${STOPS.join('; ')}.`,
  ];
  return texts.flatMap((text) => wrap(glued(text), width)).map(palette.warn);
}

/** What is amiss with a recorded current, in a sentence. */
export function doubtText({ plus, minus, amps }: InjectionView, doubt: InjectionDoubt): string {
  return doubt === 'turned round'
    ? `Plus is on ${minus}, where the rail's minus is: switch off and turn the leads. IC pins tolerate only about 0.3 V that way.`
    : `More than the ${formatAmps(amps)} that ${plus} is known to bear: turn it down, or say why in a note.`;
}

/** Two points further apart than the `most` that the supply should be set to, V. */
export function overVoltText(board: Board, red: Point, black: Point, most: number): string {
  return `${pointName(board, red)} and ${pointName(board, black)} stand more than ${formatVolts(most)} apart: turn the supply's voltage down, junctions conduct at that.`;
}

/** What is amiss with a current that is on, as lines of text. */
export function doubtLines(doubts: readonly string[], { width, palette }: Style): string[] {
  return doubts.flatMap((text) => wrap(glued(text), width)).map(palette.warn);
}

/** A current that is on, for scripts and for the screen. */
export interface InjectedView {
  readonly red: string;
  readonly black: string;
  readonly amps: number;
  readonly text: string;
}

export function viewInjected(board: Board, { red, black, amps }: Injection): InjectedView {
  const [from, to] = [pointName(board, red), pointName(board, black)];
  const text = `${formatAmps(amps)} into ${from}, back from ${to}: millivolts only, no work on the board; “inject off” when the supply is off.`;
  return { red: from, black: to, amps, text };
}

export function injectedLines(view: InjectedView, { width, palette }: Style): string[] {
  return wrap(glued(view.text), width).map(palette.warn);
}

/** No number parted from its unit. */
function glued(text: string): string {
  return text.replace(/(\d) (?=[%ΩµmknAVWKFso°])/g, `$1${GLUE}`);
}
