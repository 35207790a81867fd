import type { Draft, Guesser, SourcePart } from './draft.ts';
import { isGround, isGroundBeside, isSupply, supplyVolts } from './net-words.ts';
import {
  connectedPins,
  groupByNet,
  mergePins,
  netsOf,
  ownPins,
  pinsByRole,
  twoEnds,
} from './pads.ts';
import { readValueText } from './value-text.ts';

/** Ω taken for a resistor of unknown value: likelier than a shunt, and no path for a beep. */
const UNKNOWN_OHMS = 10_000;

export const guessResistor: Guesser = (part, nets) => {
  if (/NTC|PTC|THERMIST/i.test(`${part.value} ${part.footprint}`))
    return guessThermistor(part, nets);
  const { value: ohms } = readValueText(part.value, 'ohms');
  const guesses = ohms === undefined ? [`value unknown: taken as ${UNKNOWN_OHMS / 1000} kΩ`] : [];
  const value = ohms ?? UNKNOWN_OHMS;
  const ends = twoEnds(part, ['1', '2']);
  if (ends && ohms === 0) return { kind: 'jumper', pins: ends, guesses };
  if (ends) return { kind: 'resistor', pins: ends, ohms: value, guesses };
  if (part.pins.length === 4 && value < 0.1) return fourTerminalShunt(part, value);
  return {
    kind: 'resistor-network',
    pins: ownPins(part, nets),
    ...(ohms === undefined || ohms === 0 ? {} : { ohms }),
    guesses: [...guesses, 'which pads each resistor lies between is not known'],
  };
};

/** A shunt with two pads for the current and two for the meter. */
function fourTerminalShunt(part: SourcePart, ohms: number): Draft | undefined {
  const pins = pinsByRole(
    part,
    ['1', '2', '3', '4'].map((pad) => [pad, [pad]] as const),
  );
  if (!pins) return undefined;
  return {
    kind: 'four-terminal-shunt',
    pins,
    ohms,
    guesses: ['pads 1 and 4 taken as the current pads, 2 beside 1 and 3 beside 4'],
  };
}

/** Positive-temperature parts that stand in a supply line. */
const RESETTABLE = /PTC|POLY ?FUSE|POLYSWITCH|RESETTABLE|^0Z|^MF-|^(MINI|NANO|MICRO)SMD|^RXE/i;

export const guessThermistor: Guesser = (part) => {
  const ends = twoEnds(part, ['1', '2']);
  if (!ends) return undefined;
  const { value } = readValueText(part.value, 'ohms');
  const known = value !== undefined && value > 0;
  if (!known && RESETTABLE.test(`${part.value} ${part.partNumber}`)) {
    return { kind: 'fuse', pins: ends, guesses: ['a resettable fuse, from its value'] };
  }
  return {
    kind: 'thermistor',
    pins: ends,
    ohms: known ? value : UNKNOWN_OHMS,
    guesses: known ? [] : [`value unknown: taken as ${UNKNOWN_OHMS / 1000} kΩ`],
  };
};

/** `RV`: a varistor by some lists, a variable resistor by others. */
export const guessVariable: Guesser = (part, nets) => {
  const pot = /POT|TRIM|3214|3224|3296|3314|3386|PVG|PTV/i.test(`${part.footprint} ${part.value}`);
  const ends = twoEnds(part, ['1', '2']);
  const volts = readValueText(part.value, 'ohms').volts;
  if (!pot && ends && part.pins.length === 2) {
    const sure =
      volts !== undefined || /VARIST|MOV|^S\d\dK|RV_Disc/i.test(`${part.value} ${part.footprint}`);
    return { kind: 'varistor', pins: ends, guesses: sure ? [] : ['varistor, by its letters'] };
  }
  return guessPotentiometer(part, nets);
};

export const guessPotentiometer: Guesser = (part, nets) => {
  const pins = pinsByRole(
    part,
    ['1', '2', '3'].map((pad) => [pad, [pad]] as const),
  );
  if (!pins) return guessResistor(part, nets);
  const { value } = readValueText(part.value, 'ohms');
  const known = value !== undefined && value > 0;
  return {
    kind: 'potentiometer',
    pins,
    ohms: known ? value : UNKNOWN_OHMS,
    guesses: [
      'pad 2 taken as the wiper',
      ...(known ? [] : [`value unknown: taken as ${UNKNOWN_OHMS / 1000} kΩ`]),
    ],
  };
};

export const guessCapacitor: Guesser = (part) => {
  const { value: farads } = readValueText(part.value, 'farads');
  const { kind, guess } = capacitorKind(part, farads);
  const value = farads === undefined ? {} : { farads };
  const guesses = guess === undefined ? [] : [guess];
  if (kind === 'electrolytic' || kind === 'tantalum') return polarised(part, kind, value, guesses);
  const ends = twoEnds(part, ['1', '2']);
  return ends && { kind, pins: ends, ...value, guesses };
};

function capacitorKind(
  part: SourcePart,
  farads: number | undefined,
): { kind: string; guess?: string } {
  const text = `${part.value} ${part.description}`;
  const shape = part.footprint;
  if (/TANT/i.test(`${text} ${shape}`) || /^CP_EIA|^C_?TANT/i.test(shape))
    return { kind: 'tantalum' };
  if (/^CP\d?[_-]|ELEC|ELKO|POLAR|^CAPAE|SUPERCAP/i.test(`${shape} ${text}`))
    return { kind: 'electrolytic' };
  if (/^CP_?\d/i.test(shape)) return { kind: 'electrolytic' };
  if (
    /MK[PST]|FK[PS]|^C_Rect|FILM|^R7[5-9]|^R4[16]|WIMA|POLYPROP|POLYEST/i.test(`${shape} ${text}`)
  ) {
    return { kind: 'film' };
  }
  const signed = part.pins.some((pin) => (pin.role ?? pin.name) === '+');
  if (signed) return { kind: 'electrolytic', guess: 'electrolytic, from its + pad' };
  const big = farads !== undefined && farads >= 20e-6;
  if (big && /3528|6032|7343|7361|1411|2312|2917|3216-18|CASE/i.test(shape)) {
    return { kind: 'tantalum', guess: 'tantalum, from its size' };
  }
  if (big && (/^RD|RADIAL|SMD_?\d+X|^E\d/i.test(shape) || farads >= 220e-6)) {
    const from = shape === '' ? 'its value' : 'its value and footprint';
    return { kind: 'electrolytic', guess: `electrolytic, from ${from}` };
  }
  const sure = /^C_|C\d{4}|^\d{4}(?!\d)|CERAM|X7R|X5R|C0G|NP0|DISC/i.test(`${shape} ${text}`);
  if (sure || part.footprint === '') return { kind: 'ceramic' };
  return { kind: 'ceramic', guess: 'ceramic, for want of a telling footprint' };
}

/** Plus by the pad's name, else by which net is ground, else pad 1 by custom. */
function polarised(
  part: SourcePart,
  kind: string,
  value: { farads?: number },
  guesses: readonly string[],
): Draft | undefined {
  const named = pinsByRole(part, [
    ['plus', ['+']],
    ['minus', ['-']],
  ]);
  if (named) return { kind, pins: named, ...value, guesses };
  const ends = twoEnds(part, ['plus', 'minus']);
  if (!ends) return undefined;
  const [first, second] = ends;
  const lead = likelierPlus(first.net, second.net);
  if (lead !== 'second') {
    const doubt = lead === undefined ? ['plus taken as pad 1'] : [];
    return { kind, pins: ends, ...value, guesses: [...guesses, ...doubt] };
  }
  const pins = [
    { ...second, name: 'plus' },
    { ...first, name: 'minus' },
  ];
  return { kind, pins, ...value, guesses: [...guesses, 'plus taken as pad 2, from the net names'] };
}

function likelierPlus(first: string, second: string): 'first' | 'second' | undefined {
  const ground = [isGround(first), isGround(second)];
  const level = [first, second].map((net, i) => (ground[i] ? 0 : supplyVolts(net)));
  const [a, b] = level;
  if (a !== undefined && b !== undefined && a !== b) return a > b ? 'first' : 'second';
  if (isGroundBeside(second, first)) return 'first';
  return isGroundBeside(first, second) && isSupply(second) ? 'second' : undefined;
}

export const guessInductor: Guesser = (part, nets) => {
  const text = `${part.value} ${part.footprint} ${part.description}`;
  const ends =
    part.pins.length <= 3 || netsOf(part).length <= 2 ? twoEnds(part, ['1', '2']) : undefined;
  const { value: henries } = readValueText(part.value, 'henries');
  const { value: ohms } = readValueText(part.value, 'ohms');
  const bead =
    part.letters === 'FB' || /BEAD|FERRITE|^BLM|^MPZ|^MMZ|^MFB|^MLB|\d\s*(R|Ω|OHM)/i.test(text);
  if (ends && bead) {
    if (ohms === 0)
      return { kind: 'jumper', pins: ends, guesses: ['a zero-ohm link in place of a bead'] };
    return { kind: 'bead', pins: ends, guesses: [] };
  }
  if (ends) {
    const value = henries === undefined ? {} : { henries };
    return { kind: 'inductor', pins: ends, ...value, guesses: [] };
  }
  return guessTransformer(part, nets);
};

export const guessTransformer: Guesser = (part, nets) => ({
  kind: 'transformer',
  pins: ownPins(part, nets),
  guesses: ['which pads each winding lies between is not known: add them under windings'],
});

export const guessFuse: Guesser = (part) => {
  const ends = twoEnds(part, ['1', '2']);
  if (!ends) return undefined;
  const holder = /HOLDER|CLIP|KEYSTONE/i.test(`${part.value} ${part.footprint}`);
  return { kind: 'fuse', pins: ends, guesses: holder ? ['a fuse taken to sit in the holder'] : [] };
};

/** Copper that joins two nets by design; it is there, but it is no part that could be lifted. */
export const guessNetTie: Guesser = (part) => {
  const ends = twoEnds(part, ['1', '2']);
  return (
    ends && { kind: 'jumper', pins: ends, guesses: ['a tie in the copper: it cannot be lifted'] }
  );
};

/** Letters of wires and zero-ohm links: soldered in, and closed. */
const WIRES: ReadonlySet<string> = new Set('W WL LK JW WJ JR LINK'.split(' '));

/** Solder links and plug-in links: closed ones join, open ones are places for a bridge. */
export const guessLink: Guesser = (part, nets) => {
  const text = `${part.value} ${part.footprint}`;
  const bridged = /BRIDGED_?(\d)(\d)/i.exec(text);
  if (bridged) {
    const ends = [bridged[1] ?? '', bridged[2] ?? ''].flatMap((name) =>
      connectedPins(part).filter((pin) => pin.name === name),
    );
    const [first, second] = ends;
    if (first && second) {
      const pins = [mergePins(part, '1', [first]), mergePins(part, '2', [second])];
      return {
        kind: 'jumper',
        pins,
        guesses: [`pads ${first.name} and ${second.name} taken as bridged`],
      };
    }
  }
  const closed = /BRIDGED|CLOSED|(^|[^A-Z])NC([^A-Z]|$)/i.test(text);
  const wire = WIRES.has(part.letters) && !/OPEN|HEADER|SOLDER/i.test(text);
  const ends = groupByNet(part).length === 2 ? twoEnds(part, ['1', '2']) : undefined;
  if (ends && (closed || wire)) {
    return { kind: 'jumper', pins: ends, guesses: wire ? [] : ['taken as closed'] };
  }
  return {
    kind: 'connector',
    pins: ownPins(part, nets),
    guesses:
      part.pins.length > 3 ? [] : ['a link taken as open; where it is closed make it a jumper'],
  };
};
