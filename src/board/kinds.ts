import type { Checked } from './checked.ts';
import { entriesOf, fieldOf, isTrue, itemsOf, numberOf, textOf, textsOf } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import type { ElementSpec, Kind, ModeSpec } from './model.ts';

/** Pin roles a mode may join, resolved from the nets of the part at hand. */
export const PIN_ROLES: readonly string[] = ['@supply', '@ground', '@each', '@next'];

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
  return [{ element: 'resistance', between, ohms }];
}

function readJunction(piece: Checked, scope: KindScope): ElementSpec[] {
  const from = pinOf(fieldOf(piece, 'from'), scope);
  const to = pinOf(fieldOf(piece, 'to'), scope);
  const volts = numberOf(fieldOf(piece, 'volts'));
  if (from === undefined || to === undefined || volts === undefined) return [];
  const slope = numberOf(fieldOf(piece, 'slope')) ?? USUAL_SLOPE;
  return [{ element: 'junction', from, to, volts, slope }];
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
  const [low, high] = itemsOf(fieldOf(piece, 'ohms')).map(numberOf);
  return {
    name,
    share: numberOf(fieldOf(piece, 'share')) ?? 0,
    opens: isTrue(fieldOf(piece, 'opens')),
    joins: itemsOf(fieldOf(piece, 'joins')).flatMap((pair) => {
      const pins = pinsOf(pair, scope, PIN_ROLES);
      return pins === undefined ? [] : [pins];
    }),
    ohms: low === undefined || high === undefined ? USUAL_SHORT_OHMS : [low, high],
    source: textOf(fieldOf(piece, 'source')) ?? 'default',
  };
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
