/** What a part from another board must show before it is used, and which parts are never taken so. */
import type { Board, JunctionSpec, Part } from '../../board/model.ts';
import { formatOhms } from '../../board/units.ts';
import { isMadeUp } from './identity.ts';

/** What a good part shows on its own legs. */
export interface BenchReading {
  /** Pin names, red first. */
  readonly red: string;
  readonly black: string;
  /** `OL`, `about 0.5 V in the diode test`, `10 Ω`. */
  readonly shows: string;
}

/** Most readings asked of one part: enough for three legs, both ways. */
const MOST_READINGS = 6;

/** Breakdown above this is beyond what a meter drives, V. */
const METER_VOLTS = 3;

/**
 * Readings of a good part off the board, from its kind: ohms where it has a resistance, the diode
 * test along a junction, OL elsewhere. Empty where pins differ from part to part.
 */
export function benchReadings(part: Part): BenchReading[] {
  const { kind } = part;
  const pairs = new Map<string, readonly [string, string]>();
  const add = (a: string, b: string): void => {
    if (!a.startsWith('@') && !b.startsWith('@')) pairs.set([a, b].sort().join(' '), [a, b]);
  };
  for (const element of kind.healthy) {
    if (element.element === 'resistance') add(...element.between);
    else if (element.volts !== 'rated') add(element.from, element.to);
  }
  for (const { joins } of kind.modes) for (const [a, b] of joins) add(a, b);
  return [...pairs.values()].flatMap((pair) => readingsOf(part, pair)).slice(0, MOST_READINGS);
}

function readingsOf(part: Part, [a, b]: readonly [string, string]): BenchReading[] {
  const between = part.kind.healthy.find(
    (each) => each.element === 'resistance' && each.between.includes(a) && each.between.includes(b),
  );
  if (between !== undefined) return [{ red: a, black: b, shows: ohmsShown(part) }];
  const along = junction(part, a, b);
  const back = junction(part, b, a);
  if (along === undefined && back === undefined) return [{ red: a, black: b, shows: 'OL' }];
  return [
    { red: a, black: b, shows: voltsShown(along) },
    { red: b, black: a, shows: voltsShown(back) },
  ];
}

function ohmsShown(part: Part): string {
  const ohms = isMadeUp(part) ? undefined : (part.ohms ?? part.kind.typicalOhms);
  if (ohms === undefined) return 'its ohms, as printed on it';
  return ohms < 1 ? `near 0 Ω (${formatOhms(ohms)})` : formatOhms(ohms);
}

function junction(part: Part, from: string, to: string): number | undefined {
  const found = part.kind.healthy.find(
    (each): each is JunctionSpec =>
      each.element === 'junction' &&
      each.from === from &&
      each.to === to &&
      (each.volts !== 'rated' || (part.volts !== undefined && part.volts < METER_VOLTS)),
  );
  if (found === undefined) return undefined;
  return found.volts === 'rated' ? part.volts : found.volts;
}

function voltsShown(volts: number | undefined): string {
  if (volts === undefined) return 'OL';
  return `about ${volts.toFixed(1)} V in the diode test`;
}

/** Why a part is only ever fitted new; undefined when one from another board will do. */
export function newOnly(board: Board, part: Part): string | undefined {
  const { kind, text } = part;
  if (kind.name === 'electrolytic') return 'it ages in use and on the shelf';
  if (kind.name === 'fuse') return 'only the same type and rating';
  if (kind.name === 'varistor') return 'each surge wears it';
  if (text !== undefined && /\b[XY][12]\b/.test(text))
    return 'only an approved one of the same class';
  if (isBarrier(board, part)) return 'it keeps mains and low voltage apart';
  return undefined;
}

/** An optocoupler or transformer with mains on one side of the board. */
function isBarrier(board: Board, { kind }: Part): boolean {
  const hasMains = board.rails.some(({ volts }) => (volts ?? 0) >= 60);
  return hasMains && (kind.name === 'optocoupler' || kind.name === 'transformer');
}
