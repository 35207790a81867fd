/** What the name of a net tells: ground, supply, and how many volts. */

const GROUND =
  /(^|[^A-Z])[A-Z]?GND([A-Z]?\d*$|[^A-Z])|^VSS|^0V$|^0V_|^(COM|COMMON|RTN|RETURN|EARTH|CHASSIS)$/;

/** `-HV`, `BAT-`: often a ground of its own, but also a switched or filtered line. */
const MINUS = /^-(?!\d)[A-Z]|[A-Z0-9]-$|^V-$/;

const SUPPLY =
  /^\+|\+$|^[AD]?V_?(CC|DD|BUS|IN|BAT|BATT|SYS|MOT|PP|IO|CORE|SUPPLY|AA|DC|FAN|REG|POWER)(?![A-Z])|^(P|A|D)V(CC|DD)|^(BAT|BATT|HV|PVDD|PVCC)(_|\d|$)|(^|_)SUPPLY(_|$)/;

/** Signals named after a supply. */
const SIGNAL =
  /(^|[_-])(EN|ENABLE|PG|PGOOD|GOOD|FB|SENSE|SNS|MON|FAULT|ON|OFF|CTRL|CTL|ADC|DIV|GATE|LED|REF|VREF|OK|SEL)\d*$/;

/** Names a drawing program makes up for nets without one: `Net-(R3-Pad1)`. */
const MADE_UP =
  /NET-\(|\(.*-PAD|^N\$\d|^N\d{3,}$|^UNCONNECTED|^[A-Z?]*-\([A-Z]+\d|-PAD\d+\)|^NET[A-Z]+\d+_\w+$/;

/** Letters of a name that are looked at: patterns take their time over longer ones. */
const LONGEST_LOOK = 200;

/** Without the folders of a hierarchical name, upper case. */
export function lastSegment(net: string): string {
  return net
    .slice(net.lastIndexOf('/', net.length - 2) + 1)
    .slice(0, LONGEST_LOOK)
    .toUpperCase();
}

export function isMadeUp(net: string): boolean {
  return MADE_UP.test(net.slice(0, LONGEST_LOOK).toUpperCase());
}

export function isGround(net: string): boolean {
  return !isMadeUp(net) && GROUND.test(lastSegment(net));
}

export function isMinus(net: string): boolean {
  return !isMadeUp(net) && MINUS.test(lastSegment(net));
}

export function isSupply(net: string): boolean {
  const name = lastSegment(net);
  if (isMadeUp(net) || isGround(net) || SIGNAL.test(name)) return false;
  return SUPPLY.test(name) || supplyVolts(net) !== undefined;
}

/** Figures met as rail voltages where the name carries no V behind the number: `V12`, `P48`. */
const USUAL_VOLTS = new Set([5, 9, 10, 12, 15, 18, 24, 28, 30, 36, 48, 60]);

/**
 * The voltage a net's name states, V, negative for `-12V`; undefined when it states none, or
 * several.
 */
export function supplyVolts(net: string): number | undefined {
  const name = lastSegment(net);
  if (isMadeUp(net) || SIGNAL.test(name)) return undefined;
  const stated = new Set<number>();
  for (const match of name.matchAll(SPLIT_VOLTS)) stated.add(Number(`${match[1]}.${match[2]}`));
  for (const match of name.matchAll(PLAIN_VOLTS)) stated.add(Number(match[1]));
  const [volts, ...others] = stated;
  if (volts !== undefined) {
    const sign = name.startsWith('-') ? -1 : 1;
    return others.length > 0 || volts < 0.3 ? undefined : sign * volts;
  }
  const bare = Number(/^\+?[VP](\d{1,2})(?:_|$)/.exec(name)?.[1]);
  return USUAL_VOLTS.has(bare) ? bare : undefined;
}

/** `3V3`, `1V05`, `V0P9`. */
const SPLIT_VOLTS = /(?<![0-9.])(\d{1,3})[VP](\d{1,2})(?![A-Z0-9])/g;

/** `12V`, `3.3V`. */
const PLAIN_VOLTS = /(?<![0-9.])(\d{1,3}(?:\.\d{1,2})?)V(?![A-Z0-9])/g;

/** Words that make a trailing plus the pole of a supply. */
const POLES = /BAT|LOAD|PACK|HV|PV|SOLAR|IN$|PWR|POWER|SUPPLY|CHG|BUS/;

/** True when nothing but a trailing plus speaks for a supply: it may be half of a signal pair. */
export function isOnlyPlus(net: string): boolean {
  const name = lastSegment(net);
  if (POLES.test(name.slice(0, -1))) return false;
  return name.endsWith('+') && !SUPPLY.test(name.slice(0, -1)) && supplyVolts(net) === undefined;
}

/** The name of the other pole: `+HV_IN` → `-HV_IN`, `/PACK+` → `/PACK-`. */
export function otherPole(net: string): string | undefined {
  if (net.endsWith('+')) return `${net.slice(0, -1)}-`;
  const at = net.lastIndexOf('/') + 1;
  return net[at] === '+' ? `${net.slice(0, at)}-${net.slice(at + 1)}` : undefined;
}

/** True when `low` is the ground of the two: by its name, or as the minus beside a supply. */
export function isGroundBeside(low: string, high: string): boolean {
  if (isGround(high)) return false;
  return isGround(low) || (isMinus(low) && isSupply(high) && !isMinus(high));
}
