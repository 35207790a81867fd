import type { Draft, Guesser, NetFacts, SourcePart } from './draft.ts';
import { diodeKind, isPlainDiode, transistorKind } from './families.ts';
import { block, guessChip, guessCrystal, guessTestPoint } from './guess-other.ts';
import {
  guessCapacitor,
  guessFuse,
  guessInductor,
  guessLink,
  guessNetTie,
  guessPotentiometer,
  guessResistor,
  guessThermistor,
  guessTransformer,
  guessVariable,
} from './guess-passive.ts';
import { guessDiode, guessTransistor } from './guess-semiconductor.ts';
import { netsOf, ownPins, twoEnds } from './pads.ts';
import { readValueText } from './value-text.ts';

/** Guessers by reference letters, after IEEE 315, IEC and the usage that departs from both. */
const BY_LETTERS: ReadonlyMap<string, Guesser> = new Map<string, Guesser>([
  ...entries('R RS RSH RSENSE RSHUNT FR RES', guessResistor),
  ...entries('RN RA RP RM', guessResistor),
  ...entries('RT TH NTC PTC RK', guessThermistor),
  ...entries('RV MOV VDR ZNR RU', guessVariable),
  ...entries('VR POT', guessVariableOrRegulator),
  ...entries('C CX CY CE CAP EC', guessCapacitor),
  ...entries('L FB FL LF CMC CH', guessInductor),
  ...entries('E', guessElement),
  ...entries('D CR LED LD DS HL ZD VD TVS Z BR DB BD DZ', guessDiode),
  ...entries('Q VT V QN QP FET MOS IGBT SCR TRIAC TRI TY THY', guessTransistor),
  ...entries('T TR TX TV', guessTransformerOrTransistor),
  ...entries('U IC A AR N DD DA OK OC OPT OPTO PC ISO MOD PS REG VREG', guessChip),
  ...entries('F FU FS XF FH TF CB', guessFuse),
  ...entries('NT', guessNetTie),
  ...entries('JP SJ W WL LK JW WJ JR LINK', guessLink),
  ...entries(
    'J P CN CON CONN TB TERM BAT BT BH XP XS XT PL H HDR SWD USB SK SKT ANT AE SV PAD',
    block('connector'),
  ),
  ...entries('K RL RLY RE KM', guessRelayOrConnector),
  ...entries('S SW SA SB BTN', block('switch')),
  ...entries('TP PT', guessTestPoint),
  ...entries('Y XTAL ZQ BQ OSC XO CRY', guessCrystal),
  ...entries('X G', guessCrystalOrConnector),
  ...entries('FID MH MK MP HW HS MTG GH REF LOGO', block('mechanical')),
  ...entries('M B LS BZ SP', guessMotorOrMark),
]);

const MECHANICAL =
  /FIDUCIAL|MOUNT|(^|[_ ])HOLE|MHOLE|MTGH|FIXING|LOGO|TOOLING|STANDOFF|(^|_)SCREW_?HOLE/i;

/**
 * What a part is, from its letters first and its value, footprint and pads next; the wording of
 * whatever is not sure goes into the draft's guesses. A part that fits nothing becomes `unknown`
 * with its own pins.
 */
export function guessKind(part: SourcePart, nets: NetFacts): Draft {
  const draft = toldKind(part, nets) ?? guessed(part, nets);
  const { doubts = [] } = part;
  return doubts.length === 0 ? draft : { ...draft, guesses: [...draft.guesses, ...doubts] };
}

/** Kinds that a netlist tells and no letters could. */
function toldKind(part: SourcePart, nets: NetFacts): Draft | undefined {
  const { told } = part;
  if (told === 'jumper') {
    const ends = twoEnds(part, ['1', '2']);
    if (ends) return { kind: 'jumper', pins: ends, guesses: [] };
  }
  const isBlock = told === 'connector' || told === 'unknown' || told === 'switch';
  return isBlock ? { kind: told, pins: ownPins(part, nets), guesses: [] } : undefined;
}

function guessed(part: SourcePart, nets: NetFacts): Draft {
  if (MECHANICAL.test(`${part.value} ${part.footprint}`)) return mechanical(part, nets);
  const guesser = guesserOf(part);
  const draft = linkInPlace(part) ?? guesser?.(part, nets);
  if (draft) return draft;
  return fallback(part, nets, guesser !== undefined);
}

/** By the letters; else by what footprint and value say. A name may stand in a name: `1A2R3`. */
function guesserOf(part: SourcePart): Guesser | undefined {
  return (
    BY_LETTERS.get(innerLetters(part.name, /[_/-]([A-Z]{1,5})\d+[A-Z]?$/i)) ??
    BY_LETTERS.get(part.letters) ??
    BY_LETTERS.get(innerLetters(part.name, /\d([A-Z]{1,5})\d+[A-Z]?$/i)) ??
    byFootprint(part.footprint) ??
    byFirstLetter(part)
  );
}

function innerLetters(name: string, pattern: RegExp): string {
  return pattern.exec(name)?.[1]?.toUpperCase() ?? '';
}

/** Unusual letters, such as `RG` or `CBUS`, on a footprint named for its kind. */
function byFootprint(footprint: string): Guesser | undefined {
  return BY_LETTERS.get(/^([RCLD])P?_/.exec(footprint)?.[1] ?? '');
}

/** Unusual letters with a value that goes with the first of them: `RGATE` of 10 Ω, `QLOW` IRF540. */
function byFirstLetter({ letters, value, partNumber }: SourcePart): Guesser | undefined {
  const first = letters.charAt(0);
  const number = partNumber || value;
  const fits =
    (first === 'R' && readValueText(value, 'ohms').value !== undefined) ||
    (first === 'C' && readValueText(value, 'farads').value !== undefined) ||
    (first === 'L' && readValueText(value, 'henries').value !== undefined) ||
    (first === 'D' && (diodeKind(number) !== undefined || isPlainDiode(number))) ||
    (first === 'Q' && transistorKind(number) !== undefined);
  return fits ? BY_LETTERS.get(first) : undefined;
}

/** A value that makes a link of whatever stands there: a wire in place of a fuse or a coil. */
const LINK_VALUE =
  /^(0+([.,]0+)?\s*(R0*|Ω|OHMS?)|0R0*|ZERO[ -]?OHMS?|(WIRE|JUMPER|SHORT|SHORTING)[ -](LINK|WIRE))$/i;

function linkInPlace(part: SourcePart): Draft | undefined {
  if (/^(R|L|FB|JP|SJ|NT)/.test(part.letters) || !LINK_VALUE.test(part.value.trim()))
    return undefined;
  const ends = twoEnds(part, ['1', '2']);
  return ends && { kind: 'jumper', pins: ends, guesses: [`a link in place of ${part.name}`] };
}

function mechanical(part: SourcePart, nets: NetFacts): Draft {
  return { kind: 'mechanical', pins: ownPins(part, nets), guesses: [] };
}

/** Names without a number are pads and sockets, as a rule: `GND`, `DMX`, `+`. */
function fallback(part: SourcePart, nets: NetFacts, misfit: boolean): Draft {
  const pins = ownPins(part, nets);
  if (!misfit && !/\d/.test(part.name)) {
    return { kind: 'connector', pins, guesses: ['a connector or pad, from its name'] };
  }
  const why = misfit
    ? `its ${part.pins.length} pads do not fit`
    : `letters "${part.letters}" tell no kind`;
  return { kind: 'unknown', pins, guesses: [`kind not known: ${why}`] };
}

function entries(letters: string, guesser: Guesser): (readonly [string, Guesser])[] {
  return letters.split(' ').map((word) => [word, guesser] as const);
}

function textOf(part: SourcePart): string {
  return `${part.value} ${part.footprint} ${part.description}`;
}

function guessTransformerOrTransistor(part: SourcePart, nets: NetFacts): Draft | undefined {
  const known = transistorKind(part.partNumber) ?? transistorKind(part.value);
  const wound = /TRANSF|TRAFO|CHOKE|ETD|(^|[^A-Z])E[EFIRP]\d|^RM\d|POT_?CORE|PULSE/i.test(
    textOf(part),
  );
  const three = netsOf(part).length === 3 && part.pins.length <= 4;
  if (!wound && (known !== undefined || three)) return guessTransistor(part, nets);
  return guessTransformer(part, nets);
}

function guessVariableOrRegulator(part: SourcePart, nets: NetFacts): Draft | undefined {
  const pot = /POT|TRIM|\d\s*[kK]/.test(textOf(part));
  return pot ? guessPotentiometer(part, nets) : guessChip(part, nets);
}

function guessElement(part: SourcePart, nets: NetFacts): Draft | undefined {
  const pads = netsOf(part).length;
  return pads === 2 && /BEAD|FERR|BLM|\dR|OHM/i.test(textOf(part))
    ? guessInductor(part, nets)
    : block('connector', 'a pad or connector, from its letter')(part, nets);
}

function guessRelayOrConnector(part: SourcePart, nets: NetFacts): Draft | undefined {
  const header = /HEADER|CONN|SOCKET|TERMINAL|JST|MOLEX|PIN_/i.test(textOf(part));
  return header
    ? block('connector')(part, nets)
    : block('relay', 'which pads are coil and contacts is not known: add them under windings')(
        part,
        nets,
      );
}

function guessCrystalOrConnector(part: SourcePart, nets: NetFacts): Draft | undefined {
  const crystal = /HZ|CRYST|XTAL|RESON|OSC|HC-?49/i.test(textOf(part));
  return crystal ? guessCrystal(part, nets) : block('connector')(part, nets);
}

function guessMotorOrMark(part: SourcePart, nets: NetFacts): Draft | undefined {
  if (/^FID|FIDUC/i.test(textOf(part))) return block('mechanical')(part, nets);
  if (diodeKind(part.value) === 'led') return guessDiode(part, nets);
  return block('unknown', `letter "${part.letters}" tells no kind`)(part, nets);
}
