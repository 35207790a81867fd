/** Which parts to keep a thermometer on while a board runs, and how hot they should get at most. */
import type { Board, Part } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';

export type WatchReason =
  | 'fitted'
  | 'heatsink'
  | 'regulator'
  | 'power'
  | 'winding'
  | 'electrolytic'
  | 'resistor';

/** A part to keep a thermometer on, and the hottest its case should get, °C. */
export interface SoakWatch {
  readonly part: number;
  readonly why: WatchReason;
  readonly most: number;
}

/** Ours, of cases in free air on a bench: well below what makers rate such parts for. */
const MOST_CELSIUS: Readonly<Record<WatchReason, number>> = {
  fitted: 80,
  heatsink: 80,
  regulator: 85,
  power: 85,
  winding: 85,
  electrolytic: 65,
  resistor: 110,
};

/** Which reason is met first where only some can be listed. */
const RANK: Readonly<Record<WatchReason, number>> = {
  fitted: 0,
  heatsink: 1,
  regulator: 2,
  power: 3,
  winding: 4,
  electrolytic: 5,
  resistor: 6,
};
const MOST_WATCHED = 8;

const TRANSISTOR = /mosfet|igbt|^npn$|^pnp$|bridge-rectifier|^scr$|^triac$/;
const POWER_PACKAGE = /TO-?\d|D2?PAK|DPAK|KB[UPLJ]|POWER|LFPAK|DO-?201/i;
const POWER_RESISTOR = /\b([1-9]\d*|0\.5) ?W\b|2512|4026|TO-?220|wirewound|cement/i;
const SMALL_COIL = /0402|0603|0805|1206/;
const SMALLEST_CAN_FARADS = 47e-6;
const NEVER_WARM = /^(jumper|connector|test-point|ceramic|crystal|led)$/;

/**
 * The parts worth a thermometer: those fitted in this job first, then one of each bank and of each
 * heatsink; at most eight.
 */
export function soakWatch(board: Board, job: DerivedJob): SoakWatch[] {
  const fitted = new Set(job.replaced.map(({ part }) => part));
  const found = board.parts.flatMap((part) => {
    const isFitted = fitted.has(part.index) && !NEVER_WARM.test(part.kind.name);
    const why = isFitted ? 'fitted' : reasonFor(part);
    if (why === undefined) return [];
    // One can of a bank speaks for it; so does one part of a heatsink.
    const speaksFor = isFitted ? part.name : (part.heatsink ?? part.bank ?? part.name);
    return [{ part, why, speaksFor }];
  });
  found.sort(
    (a, b) => RANK[a.why] - RANK[b.why] || Number(b.part.failsFirst) - Number(a.part.failsFirst),
  );
  const spoken = new Set<string>();
  const alone = found.filter(({ speaksFor }) => !spoken.has(speaksFor) && spoken.add(speaksFor));
  return inTurn(alone)
    .slice(0, MOST_WATCHED)
    .map(({ part, why }) => ({ part: part.index, why, most: mostCelsius(board, part.index) }));
}

/** What was fitted, then one part for each reason, then the second for each, and so on. */
function inTurn<T extends { readonly why: WatchReason }>(found: readonly T[]): T[] {
  const count = new Map<WatchReason, number>();
  const turns = found.map((each) => {
    const turn = each.why === 'fitted' ? 0 : (count.get(each.why) ?? 0) + 1;
    count.set(each.why, turn);
    return { each, turn };
  });
  return turns.sort((a, b) => a.turn - b.turn).map(({ each }) => each);
}

/** The hottest a part's case should get, °C, whether it is watched or not. */
export function mostCelsius(board: Board, part: number): number {
  const own = board.parts[part];
  return MOST_CELSIUS[(own && reasonFor(own)) ?? 'fitted'];
}

function reasonFor({
  kind,
  heatsink,
  package: shape = '',
  text = '',
  farads = 0,
}: Part): WatchReason | undefined {
  const { name } = kind;
  if (heatsink !== undefined && name !== 'thermistor') return 'heatsink';
  if (name === 'regulator') return 'regulator';
  if (TRANSISTOR.test(name) && POWER_PACKAGE.test(shape)) return 'power';
  if (name === 'transformer' || (name === 'inductor' && !SMALL_COIL.test(shape))) return 'winding';
  if (name === 'electrolytic' && farads >= SMALLEST_CAN_FARADS) return 'electrolytic';
  if (name === 'resistor' && POWER_RESISTOR.test(`${shape} ${text}`)) return 'resistor';
  return undefined;
}
