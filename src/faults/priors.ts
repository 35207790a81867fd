import type { Board, Part, Pin } from '../board/model.ts';
import type { Circuit } from '../circuit/circuit.ts';
import type { PartMode } from '../circuit/elements.ts';
import {
  bankFactor,
  jointFactor,
  type Learnt,
  MOST_LEARNT,
  type ModeFactors,
  partFactors,
  unitOf,
} from './learnt.ts';
import type { FaultSettings } from './settings.ts';

/** Chances before any reading, of everything that can fail so that a meter shows it. */
export interface Priors {
  /** By part: chance of each of its modes, in the order of its model. */
  readonly modes: readonly Float64Array[];
  /** By pin: chance that its joint is open. */
  readonly joint: Float64Array;
  /** Of one part: chance of each of its modes that only some readings show, in the order of its model. */
  readonly moreOf: (part: number) => Float64Array;
  /** By bank name: its parts, and the chance of a failure that takes several of them. */
  readonly banks: readonly { readonly parts: readonly number[]; readonly chance: number }[];
}

/**
 * Failure rate × share of the mode × stress, scaled so that the board carries
 * `settings.expectedFaults` on average. Only ratios of the handbook rates are used. What past boards
 * taught is a factor on that.
 */
export function priorsOf(circuit: Circuit, settings: FaultSettings): Priors {
  const { board, models } = circuit;
  const rates = models.map((model) => {
    const part = board.parts[model.part] as Part;
    // By hand, not `from`: that takes five times as long, and a start makes thousands of these.
    const row = new Float64Array(model.modes.length);
    model.modes.forEach((mode, k) => {
      row[k] = rateOf(part, mode, settings);
    });
    return row;
  });
  const jointRate = new Float64Array(board.pins.length).fill(settings.jointFit / 10);
  circuit.elements.forEach(({ a, b }) => {
    jointRate[a] = settings.jointFit;
    jointRate[b] = settings.jointFit;
  });
  let total = 0;
  rates.forEach((row) => {
    for (let k = 0; k < row.length; k++) total += row[k] as number;
  });
  for (let pin = 0; pin < jointRate.length; pin++) total += jointRate[pin] as number;
  const scale = total > 0 ? settings.expectedFaults / total : 0;
  const listed = (rate: number): number => Math.min(rate * scale, settings.mostChance);
  const { learnt } = settings;
  const ratios = models.map((model) => {
    if (learnt === undefined) return undefined;
    const part = board.parts[model.part] as Part;
    const rows = [...model.modes, ...model.moreModes];
    return modeRatios(partFactors(learnt, board, part), rows, (mode) =>
      listed(rateOf(part, mode, settings)),
    );
  });
  const modes = rates.map((row, part) => {
    const own = models[part]?.modes;
    const chances = row.map((rate, k) => listed(rate) * ratioOf(ratios[part], own?.[k]));
    return joinedAnyway(circuit, part, chances);
  });
  const more: Float64Array[] = [];
  const moreOf = (index: number): Float64Array => {
    const part = board.parts[index] as Part;
    more[index] ??= Float64Array.from(
      models[index]?.moreModes ?? [],
      (mode) => listed(rateOf(part, mode, settings)) * ratioOf(ratios[index], mode),
    );
    return more[index];
  };
  const joint = jointRate.map((rate, pin) =>
    Math.min(listed(rate) * jointFactor(learnt, board, board.pins[pin] as Pin), MOST_LEARNT),
  );
  const unlearnt =
    learnt === undefined
      ? modes
      : rates.map((row, part) => joinedAnyway(circuit, part, row.map(listed)));
  const banks = banksOf(board.parts, unlearnt, settings);
  return { modes, moreOf, joint, banks: withPartners(board, banks, learnt) };
}

/** A part's factors, held where its modes together would leave next to no chance that it is healthy. */
function modeRatios(
  { short, open }: ModeFactors,
  modes: readonly PartMode[],
  chanceOf: (mode: PartMode) => number,
): ModeFactors {
  let sum = 0;
  for (const mode of modes) sum += chanceOf(mode) * (mode.opens ? open : short);
  const held = Math.min(1, MOST_LEARNT / sum);
  return { short: short * held, open: open * held };
}

function ratioOf(ratios: ModeFactors | undefined, mode: PartMode | undefined): number {
  if (ratios === undefined || mode === undefined) return 1;
  return mode.opens ? ratios.open : ratios.short;
}

/**
 * What went together before shares the question of a failure that takes both. A part that goes with a bank
 * joins the bank's question, as a driver does that of its switches; two whole banks keep their own.
 */
function withPartners(
  { parts, partNamed }: Board,
  banks: Priors['banks'],
  learnt: Learnt | undefined,
): Priors['banks'] {
  if (learnt === undefined || learnt.together.length === 0) return banks;
  const groups = banks.map((bank) => ({ parts: [...bank.parts], chance: bank.chance }));
  const ofBank = new Map(
    groups.map((group) => [unitOf(parts[group.parts[0] ?? -1] as Part), group]),
  );
  const taken = new Set<number>();
  for (const { units, chance } of learnt.together) {
    const free = units.flatMap((unit) => {
      const part = partNamed.get(unit);
      return part === undefined || part.bank !== undefined || taken.has(part.index)
        ? []
        : [part.index];
    });
    const group = units.map((unit) => ofBank.get(unit)).find((one) => one !== undefined);
    const held = Math.min(chance, MOST_LEARNT);
    if (free.length === 2) groups.push({ parts: free, chance: held });
    else if (free.length === 1 && group !== undefined) {
      group.parts.push(...free);
      group.chance = Math.max(group.chance, held);
    } else continue;
    for (const part of free) taken.add(part);
  }
  return groups;
}

/** Of a part that may join its pins when it is sound, those modes carry the chance of that at least. */
function joinedAnyway(
  { board, models }: Circuit,
  index: number,
  chances: Float64Array,
): Float64Array {
  const model = models[index];
  const least = board.parts[model?.part ?? -1]?.kind.joinsAnyway;
  if (model === undefined || least === undefined) return chances;
  const joining = model.modes.map(({ joins, share }) => (joins.length > 0 ? share : 0));
  const sum = joining.reduce((total, share) => total + share, 0);
  return chances.map((chance, k) =>
    Math.max(chance, sum > 0 ? (least * (joining[k] ?? 0)) / sum : 0),
  );
}

function rateOf(part: Part, mode: PartMode, settings: FaultSettings): number {
  let rate = part.kind.fitRate * mode.share;
  if (part.heatsink !== undefined) rate *= settings.heatsinkFactor;
  if (part.failsFirst) rate *= settings.failsFirstFactor;
  if (part.kind.name === 'fuse') rate *= settings.fuseFactor;
  return rate;
}

function banksOf(
  parts: readonly Part[],
  listed: readonly Float64Array[],
  settings: FaultSettings,
): { parts: number[]; chance: number }[] {
  const named = new Map<string, number[]>();
  for (const part of parts) {
    if (part.bank === undefined) continue;
    const held = named.get(part.bank);
    if (held === undefined) named.set(part.bank, [part.index]);
    else held.push(part.index);
  }
  return [...named]
    .filter(([, members]) => members.length > 1)
    .map(([name, members]) => {
      let sum = 0;
      for (const part of members) for (const p of listed[part] ?? []) sum += p;
      const chance = Math.min(settings.bankShare * sum, settings.mostChance);
      const learnt = chance * bankFactor(settings.learnt, name);
      return { parts: members, chance: Math.min(learnt, Math.max(chance, MOST_LEARNT)) };
    });
}
