import type { Draft, Guesser, NetFacts, SourcePart } from './draft.ts';
import { diodeKind, transistorKind } from './families.ts';
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

/** Guessers by reference letters, after IEEE 315 and the usage that departs from it. */
const BY_LETTERS: ReadonlyMap<string, Guesser> = new Map<string, Guesser>([
  ...entries('R RS RSH RSENSE RSHUNT', guessResistor),
  ...entries('RN RA RP RM', guessResistor),
  ...entries('RT TH NTC PTC', guessThermistor),
  ...entries('RV MOV VDR', guessVariable),
  ...entries('VR POT', guessVariableOrRegulator),
  ...entries('C CX CY CE CAP', guessCapacitor),
  ...entries('L FB FL', guessInductor),
  ...entries('E', guessElement),
  ...entries('D CR LED DS ZD VD TVS Z BR DB LD DZ', guessDiode),
  ...entries('Q VT V QN QP', guessTransistor),
  ...entries('T TR', guessTransformerOrTransistor),
  ...entries('U IC A AR N DD DA OK PC MOD PS', guessChip),
  ...entries('F FU XF FH', guessFuse),
  ...entries('NT', guessNetTie),
  ...entries('JP SJ W WL LK', guessLink),
  ...entries(
    'J P CN CON CONN TB BAT BT BH XP XS XT PL H HDR SWD USB SK ANT AE SV',
    block('connector'),
  ),
  ...entries('K RL RLY RE', guessRelayOrConnector),
  ...entries('S SW SB BTN', block('switch')),
  ...entries('TP PT', guessTestPoint),
  ...entries('Y XTAL ZQ BQ', guessCrystal),
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
  const guesser = BY_LETTERS.get(part.letters) ?? byFootprint(part.footprint);
  const draft = guesser?.(part, nets);
  if (draft) return draft;
  return fallback(part, nets, guesser !== undefined);
}

/** Unusual letters, such as `RG` or `CBUS`, on a footprint named for its kind. */
function byFootprint(footprint: string): Guesser | undefined {
  return BY_LETTERS.get(/^([RCLD])P?_/.exec(footprint)?.[1] ?? '');
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
