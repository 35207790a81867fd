import type { Checked } from './checked.ts';
import {
  entriesOf,
  fieldOf,
  isTrue,
  itemsOf,
  numberOf,
  pairOf,
  textOf,
  textsOf,
} from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { ElementSpec, JunctionSpec, Kind, ModeSpec } from './model.ts';

/** Pin roles a mode may join, resolved from the nets of the part at hand. */
export const PIN_ROLES: readonly string[] = ['@supply', '@ground', '@each', '@next', '@any'];

/** Pin roles a junction may lie between. */
const JUNCTION_ROLES: readonly string[] = ['@supply', '@ground', '@each'];

/** Ω met in most failed parts that read as shorted; a default. */
const USUAL_SHORT_OHMS = [0.01, 3] as const;

/** Emission coefficient of a plain silicon junction, between 1 and 2; a default. */
const USUAL_SLOPE = 1.7;

/**
 * Reads kinds that passed `KINDS_SHAPE`, from the catalogue or a board file, and checks what one
 * entry asks of another: pins named in elements, modes and aliases, shares, required figures.
 */
export function readKinds(piece: Checked | undefined, findings: Findings): Map<string, Kind> {
  const kinds = new Map<string, Kind>();
  for (const [name, { value }] of entriesOf(piece)) {
    if (value !== undefined) kinds.set(name, readKind(name, value, findings));
  }
  return kinds;
}

function readKind(name: string, piece: Checked, findings: Findings): Kind {
  const pins = textsOf(fieldOf(piece, 'pins'));
  const scope = { name, pins, findings };
  const typicalOhms = numberOf(fieldOf(piece, 'typical-ohms'));
  const joinsAnyway = numberOf(fieldOf(piece, 'joins-anyway'));
  return {
    name,
    title: textOf(fieldOf(piece, 'title')) ?? name,
    pins,
    pinAliases: readAliases(fieldOf(piece, 'pin-aliases'), scope),
    symmetric: isTrue(fieldOf(piece, 'symmetric')),
    healthy: [
      ...itemsOf(fieldOf(piece, 'resistances')).flatMap((item) => readResistance(item, scope)),
      ...itemsOf(fieldOf(piece, 'junctions')).flatMap((item) => readJunction(item, scope)),
    ],
    modes: readModes(fieldOf(piece, 'modes'), scope),
    fitRate: numberOf(fieldOf(piece, 'fit-rate')) ?? 0,
    ...(typicalOhms === undefined ? {} : { typicalOhms }),
    ...(joinsAnyway === undefined ? {} : { joinsAnyway }),
    value: readValue(fieldOf(piece, 'value')),
    link: isTrue(fieldOf(piece, 'link')),
    source: textOf(fieldOf(piece, 'source')) ?? 'default',
  };
}

interface KindScope {
  readonly name: string;
  readonly pins: readonly string[];
  readonly findings: Findings;
}

function readValue(piece: Checked | undefined): Kind['value'] {
  const word = textOf(piece);
  return word === 'ohms' || word === 'farads' || word === 'henries' ? word : 'none';
}

function readAliases(piece: Checked | undefined, scope: KindScope): Map<string, string> {
  const aliases = new Map<string, string>();
  for (const [alias, { value }] of entriesOf(piece)) {
    const pin = pinOf(value, scope);
    if (pin !== undefined) aliases.set(alias, pin);
  }
  return aliases;
}

function readResistance(piece: Checked, scope: KindScope): ElementSpec[] {
  const between = pinsOf(fieldOf(piece, 'between'), scope);
  const ohms = fieldOf(piece, 'ohms')?.value;
  if (between === undefined || (typeof ohms !== 'number' && ohms !== 'value')) return [];
  const ratio = numberOf(fieldOf(piece, 'ratio'));
  return [{ element: 'resistance', between, ohms, ...(ratio === undefined ? {} : { ratio }) }];
}

function readJunction(piece: Checked, scope: KindScope): JunctionSpec[] {
  const from = pinOf(fieldOf(piece, 'from'), scope, JUNCTION_ROLES);
  const to = pinOf(fieldOf(piece, 'to'), scope, JUNCTION_ROLES);
  const volts = fieldOf(piece, 'volts')?.value;
  if (from === undefined || to === undefined) return [];
  if (typeof volts !== 'number' && volts !== 'rated') return [];
  const slope = numberOf(fieldOf(piece, 'slope')) ?? USUAL_SLOPE;
  return [{ element: 'junction', from, to, volts, slope, ...readRating(piece) }];
}

function readRating(piece: Checked): Pick<JunctionSpec, 'ratedAmps' | 'ratedFrom' | 'ratedBelow'> {
  const ratedAmps = numberOf(fieldOf(piece, 'rated-amps'));
  const ratedFrom = numberOf(fieldOf(piece, 'rated-from'));
  const ratedBelow = numberOf(fieldOf(piece, 'rated-below'));
  return {
    ...(ratedAmps === undefined ? {} : { ratedAmps }),
    ...(ratedFrom === undefined ? {} : { ratedFrom }),
    ...(ratedBelow === undefined ? {} : { ratedBelow }),
  };
}

function readModes(piece: Checked | undefined, scope: KindScope): ModeSpec[] {
  const modes: ModeSpec[] = [];
  let sum = 0;
  for (const [name, { value }] of entriesOf(piece)) {
    if (value === undefined) continue;
    const mode = readMode(name, value, scope);
    modes.push(mode);
    sum += mode.share;
  }
  // Shares transcribed with two digits may sum to a hair above 1.
  if (piece && sum > 1 + 1e-9)
    scope.findings.error(piece, complaints.sharesOverOne(scope.name, sum));
  return modes;
}

function readMode(name: string, piece: Checked, scope: KindScope): ModeSpec {
  const ohms = rangeOf(fieldOf(piece, 'ohms'));
  const scales = rangeOf(fieldOf(piece, 'scales'));
  const junctions = itemsOf(fieldOf(piece, 'junctions')).flatMap((j) => readJunction(j, scope));
  const cuts = itemsOf(fieldOf(piece, 'cuts')).flatMap((pin) => pinOf(pin, scope) ?? []);
  const toHeatsink = pinOf(fieldOf(piece, 'to-heatsink'), scope, ['@ground']);
  return {
    name,
    share: numberOf(fieldOf(piece, 'share')) ?? 0,
    opens: isTrue(fieldOf(piece, 'opens')),
    joins: itemsOf(fieldOf(piece, 'joins')).flatMap((pair) => {
      const pins = pinsOf(pair, scope, PIN_ROLES);
      return pins === undefined ? [] : [pins];
    }),
    ohms: ohms ?? USUAL_SHORT_OHMS,
    ...(junctions.length === 0 ? {} : { junctions }),
    ...(scales === undefined ? {} : { scales }),
    ...(cuts.length === 0 ? {} : { cuts }),
    ...(toHeatsink === undefined ? {} : { toHeatsink }),
    source: textOf(fieldOf(piece, 'source')) ?? 'default',
  };
}

/** Lowest and highest, in whichever order they were given. */
function rangeOf(piece: Checked | undefined): readonly [number, number] | undefined {
  const pair = pairOf(piece);
  return pair && [Math.min(...pair), Math.max(...pair)];
}

function pinsOf(
  piece: Checked | undefined,
  scope: KindScope,
  roles: readonly string[] = [],
): readonly [string, string] | undefined {
  const [first, second] = itemsOf(piece).map((item) => pinOf(item, scope, roles));
  return first === undefined || second === undefined ? undefined : [first, second];
}

/** A pin of the kind or one of the roles; reports anything else. */
function pinOf(
  piece: Checked | undefined,
  scope: KindScope,
  roles: readonly string[] = [],
): string | undefined {
  const word = textOf(piece);
  if (piece === undefined || word === undefined) return undefined;
  if (scope.pins.includes(word) || roles.includes(word)) return word;
  const known = [...scope.pins, ...roles];
  scope.findings.error(piece, complaints.unknownPin(word, `kind ${scope.name}`, known));
  return undefined;
}
