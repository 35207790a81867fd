import { catalogue } from '../../board/catalogue.ts';
import type { ListedPart, ListedPin, PartList } from '../../board/part-list/part-list.ts';
import type { Meter } from '../../circuit/meter.ts';
import type { MapPart, MapPoint, MapProblem, PointRole } from './problem.ts';

/** Kinds of which no two legs are on one net, as far as their roles are told apart. */
const APART: ReadonlySet<string> = new Set(
  'resistor thermistor varistor ceramic film electrolytic tantalum diode schottky zener suppressor two-way-suppressor led npn pnp n-mosfet p-mosfet igbt scr triac crystal bridge-rectifier optocoupler regulator diode-pair-common-cathode diode-pair-common-anode diode-pair-in-series'.split(
    ' ',
  ),
);

const CAPACITORS = new Set('ceramic film electrolytic tantalum suppressor'.split(' '));
const LINES = new Set('inductor bead fuse'.split(' '));
const ENDS = new Set(
  'resistor diode schottky zener led jumper test-point thermistor varistor crystal'.split(' '),
);
const GROUND = /^(GND\w*|VSS\w*|[ADP]GND|VEE|V-|MINUS|-)$/i;
const SUPPLY = /^(V(CC|DD|IN|BAT|BUS|S|M|OUT)\w*|[AD]V(CC|DD)\w*|PLUS|\+)$/i;

/**
 * What a beeper is bound to find of listed parts.
 * @param lifted names of parts that do not join their nets now
 */
export function problemOf(
  list: PartList,
  meter: Meter,
  lifted: ReadonlySet<string> = new Set(),
): MapProblem {
  const points: MapPoint[] = [];
  const sorts = new Map<string, number>();
  const parts = list.parts.map((part, index): MapPart => {
    const first = points.length;
    points.push(...part.pins.map((pin) => pointOf(part, pin, index)));
    const lowOhm = lowOhmPairs(part, meter).map(([a, b]) => [first + a, first + b] as const);
    const roles = new Set(part.pins.map(({ role }) => role));
    const isSplit = lowOhm.length > 0 && lifted.has(part.name);
    return {
      name: part.name,
      points: part.pins.map((_, at) => first + at),
      ...sortOf(part, sorts),
      isApart:
        (lowOhm.length === 0 && APART.has(part.kind) && roles.size === part.pins.length) ||
        (isSplit && part.pins.length === 2),
      lowOhm: isSplit ? [] : lowOhm,
    };
  });
  return { points, parts };
}

/** Fewer pins make nothing of a part that is the same on another: every transistor has its three. */
const SORT_PINS = 5;
/** The same where nothing but the pins is known of a part. */
const BARE_SORT_PINS = 8;

function sortOf(part: ListedPart, sorts: Map<string, number>): { sort?: number } {
  const { source, kind, pins } = part;
  const make = [source?.partNumber, source?.value, source?.footprint].filter(Boolean).join('|');
  if (pins.length < (make === '' ? BARE_SORT_PINS : SORT_PINS)) return {};
  const key = [kind, make, ...pins.map(({ name }) => name)].join('\n');
  const sort = sorts.get(key) ?? sorts.size;
  sorts.set(key, sort);
  return { sort };
}

function pointOf(part: ListedPart, pin: ListedPin, index: number): MapPoint {
  const place = pin.at === undefined ? {} : { at: pin.at };
  return { name: `${part.name}.${pin.name}`, part: index, role: roleOf(part, pin.role), ...place };
}

function roleOf({ kind }: ListedPart, role: string): PointRole {
  if (GROUND.test(role)) return 'ground';
  if (SUPPLY.test(role)) return 'supply';
  if (role === 'G' && /mosfet|igbt/.test(kind)) return 'control';
  if (role === 'B' && (kind === 'npn' || kind === 'pnp')) return 'control';
  if (CAPACITORS.has(kind)) return 'bypass';
  if (LINES.has(kind)) return 'line';
  if (ENDS.has(kind)) return 'end';
  return kind === 'connector' ? 'plug' : 'leg';
}

/** Pairs of pins, by their place in the part, that a healthy part joins so well that a beeper sounds. */
export function lowOhmPairs(part: ListedPart, meter: Meter): (readonly [number, number])[] {
  const most = meter.beepOhms * Math.exp(-2 * meter.beepSpread);
  const at = (role: string): number => part.pins.findIndex((pin) => pin.role === role);
  if (part.kind === 'four-terminal-shunt') return chain(part.pins.length);
  const pairs = part.windings.map(([from, to]) => [at(from), at(to)] as const);
  const kind = catalogue().get(part.kind);
  for (const element of kind?.healthy ?? []) {
    if (element.element !== 'resistance') continue;
    const { ohms, ratio = 1, between } = element;
    const value = ohms === 'value' ? (part.ohms ?? kind?.typicalOhms ?? Infinity) : ohms;
    if (value * ratio <= most) pairs.push([at(between[0]), at(between[1])]);
  }
  return pairs.filter(([from, to]) => from >= 0 && to >= 0);
}

function chain(count: number): (readonly [number, number])[] {
  return Array.from({ length: Math.max(0, count - 1) }, (_, at) => [at, at + 1] as const);
}
