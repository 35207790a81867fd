import { describe, expect, test } from 'vitest';
import { catalogue } from '../../src/board/catalogue.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Kind } from '../../src/board/model.ts';
import { type MoreMode, type PartModel, partModels } from '../../src/circuit/elements.ts';

/** Modes that no meter shows on a cold board, and why. */
const CAPACITANCE = 'a lasting reading shows no capacitance';
const SMALL = 'a change of parameters too small, or of a kind, that no cold reading shows';
const MOVING = 'needs the part to be driven';
const UNSEEN: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  varistor: { open: 'it conducts nothing when healthy, at a meter’s volts' },
  inductor: { drift: SMALL },
  transformer: { drift: SMALL },
  ceramic: { open: CAPACITANCE, drift: CAPACITANCE },
  film: { open: CAPACITANCE, drift: CAPACITANCE },
  electrolytic: { open: CAPACITANCE, 'electrolyte leak': 'for the eye', 'dried out': CAPACITANCE },
  tantalum: { open: CAPACITANCE, drift: CAPACITANCE },
  diode: { drift: SMALL },
  schottky: { drift: SMALL },
  zener: { drift: SMALL },
  'n-mosfet': { drift: SMALL },
  'p-mosfet': { drift: SMALL },
  igbt: { drift: SMALL },
  optocoupler: { 'sensor open': 'a dark sensor conducts nothing either' },
  ic: { drift: SMALL },
  regulator: { drift: SMALL },
  relay: { 'fails to trip': MOVING, 'trips by itself': MOVING },
  switch: { sticking: MOVING },
  connector: { open: 'the contact to its mate; a lost pin is an open joint', intermittent: MOVING },
  crystal: { open: CAPACITANCE, 'no oscillation': MOVING },
  unknown: { open: 'what it conducts when healthy is unknown' },
};

/** What a part must say of itself to be typical of its kind. */
const TYPICAL: Readonly<Record<string, string>> = {
  resistor: 'ohms: 470',
  potentiometer: 'ohms: 10k',
  thermistor: 'ohms: 10k',
  zener: 'volts: 5.1',
  suppressor: 'volts: 6.4',
  'two-way-suppressor': 'volts: 7',
  'resistor-network':
    'pins: {1: NA, 2: NB, 3: NC}, windings: {a: {pins: [1, 2], ohms: 1k}, b: {pins: [2, 3], ohms: 1k}}',
  transformer:
    'pins: {1: TA, 2: TB, 3: TC, 4: TD}, windings: {primary: {pins: [1, 2], ohms: 0.6}, secondary: {pins: [3, 4], ohms: 0.02}}',
  ic: 'pins: {VCC: P5, GND: GND, IN: IC_IN, OUT: IC_OUT}',
  relay: 'pins: {1: KA, 2: KB, 3: KC, 4: KD}, windings: {coil: {pins: [1, 2], ohms: 90}}',
  switch: 'pins: {1: SA, 2: SB}, windings: {contact: {pins: [1, 2], ohms: 0.02}}',
  connector: 'pins: {1: P5, 2: GND, 3: PE}',
  'test-point': 'pins: [GND]',
  unknown: 'pins: {1: UA, 2: UB}',
  mechanical: 'pins: {1: PE}',
};

function entry({ name, pins }: Kind): string {
  const own = TYPICAL[name] ?? '';
  const nets = pins.map((pin) => `${pin}: ${name}_${pin}`).join(', ');
  const listed = own.startsWith('pins') ? '' : `, pins: {${nets}}`;
  return `  ${name}: {kind: ${name}${listed}${own === '' ? '' : `, ${own}`}, heatsink: wall}`;
}

const kinds = [...catalogue().values()];
const { board } = loadBoard(
  [
    'board: One of each kind',
    'rails: {supply: {plus: P5, minus: GND}}',
    'heatsinks: {wall: {net: PE}}',
    'parts:',
    ...kinds.map(entry),
  ].join('\n'),
  'one-of-each',
);
const models = partModels(board);
const modelOf = (name: string): PartModel => {
  const part = board.partNamed.get(name);
  return models[part?.index ?? -1] as PartModel;
};
const netOf = (pin: number): number => board.pins[pin]?.net ?? -1;

/** What lies between nets, as text that is the same for the same circuit. */
function circuitOf(model: PartModel, mode: Pick<MoreMode, 'opens' | 'joins'> & Partial<MoreMode>) {
  const joins = [...(mode.opens ? [] : model.healthy), ...mode.joins];
  const junctions = [...(mode.opens ? [] : model.junctions), ...(mode.junctions ?? [])];
  return [
    ...joins
      .filter(({ a, b }) => netOf(a) !== netOf(b))
      .map(({ a, b, ohms }) => `${[netOf(a), netOf(b)].sort()} ${ohms.toPrecision(6)}`),
    ...junctions
      .filter(({ anode, cathode }) => netOf(anode) !== netOf(cathode))
      .map((j) => `${netOf(j.anode)}>${netOf(j.cathode)} ${j.volts} ${j.slope}`),
    ...(mode.netJoins ?? [])
      .filter(({ pin, net }) => netOf(pin) !== net)
      .map(({ pin, net, ohms }) => `${netOf(pin)}=${net} ${ohms}`),
  ].sort();
}

describe.each(kinds.map(({ name, modes }) => [name, modes] as const))(
  'every mode of %s',
  (name, specs) => {
    const model = modelOf(name);
    const all = [...model.modes, ...model.moreModes];

    test('changes what lies between nets, or is listed as unseen', () => {
      const healthy = circuitOf(model, { opens: false, joins: [] });
      for (const spec of specs) {
        const found = all.filter((mode) => mode.name === spec.name);
        if (UNSEEN[name]?.[spec.name] !== undefined) {
          expect(found, `${spec.name} is seen after all`).toEqual([]);
          continue;
        }
        expect(found, spec.name).not.toEqual([]);
        for (const mode of found) expect(circuitOf(model, mode), spec.name).not.toEqual(healthy);
      }
    });

    test('keeps its share, whatever it is expanded to', () => {
      for (const spec of specs) {
        const found = all.filter((mode) => mode.name === spec.name);
        if (found.length === 0) continue;
        const sum = found.reduce((total, { share }) => total + share, 0);
        expect(sum, spec.name).toBeCloseTo(spec.share, 9);
      }
      expect(all.reduce((total, { share }) => total + share, 0)).toBeLessThanOrEqual(1 + 1e-9);
    });

    test('is either one that the reasoning searches or one of the others', () => {
      const searched = new Set(model.modes.map((mode) => mode.name));
      for (const mode of model.moreModes) expect(searched).not.toContain(mode.name);
    });
  },
);

test('no mode is listed as unseen that no kind has', () => {
  for (const [name, modes] of Object.entries(UNSEEN)) {
    const known =
      catalogue()
        .get(name)
        ?.modes.map((mode) => mode.name) ?? [];
    for (const mode of Object.keys(modes)) expect(known, name).toContain(mode);
  }
});
