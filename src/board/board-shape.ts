import { LABEL, NET_NAME, PART_NAME, PIN_NAME } from './names.ts';
import type { FieldsShape, ListShape, NamedShape, Shape, TextShape } from './shape.ts';

/** The shape of a board file. Whatever one part or net asks of another is in `assemble.ts`. */

const text = (doc: string): TextShape => ({ is: 'text', doc });

const POSITION: ListShape = {
  is: 'list',
  doc: 'x and y in mm',
  of: { is: 'number' },
  least: 2,
  most: 2,
};

const PIN_PAIR: ListShape = { is: 'list', of: PIN_NAME, least: 2, most: 2 };

const WINDINGS: NamedShape = {
  is: 'named',
  doc: 'Windings, coils and sections of a part that names its own pins',
  key: LABEL,
  of: {
    is: 'fields',
    title: 'a winding',
    fields: {
      pins: { ...PIN_PAIR, doc: 'The two pins it lies between' },
      ohms: { is: 'quantity', unit: 'ohms', doc: 'DC resistance' },
    },
    required: ['pins', 'ohms'],
  },
};

const PLACING: Readonly<Record<string, Shape>> = {
  package: text('Package as the trade names it, e.g. TO-247'),
  at: { ...POSITION, doc: 'Position on the board, x and y in mm' },
  side: { is: 'choice', words: ['top', 'bottom'], doc: 'Side of the board it sits on' },
  mark: text('How its orientation is marked, e.g. band'),
  'part-number': text('Maker’s part number, for ordering'),
  text: text('The value as printed on the part or in the bill of materials'),
  'fails-first': { is: 'flag', doc: 'The shop knows that this one fails first' },
  guess: { is: 'list', of: { is: 'text' }, doc: 'What an import guessed, to be confirmed' },
};

const PART: FieldsShape = {
  is: 'fields',
  title: 'a part',
  fields: {
    kind: { ...LABEL, doc: 'Kind of part, from the catalogue or from `kinds`' },
    pins: {
      is: 'either',
      doc: 'Nets by pin name, or a list of nets in the usual pin order of the kind',
      options: [
        { is: 'named', key: PIN_NAME, of: NET_NAME, least: 1 },
        { is: 'list', of: NET_NAME, least: 1 },
      ],
    },
    ohms: { is: 'quantity', unit: 'ohms', doc: 'Resistance, e.g. 4k7 or 0.005' },
    farads: { is: 'quantity', unit: 'farads', doc: 'Capacitance, e.g. 470u' },
    henries: { is: 'quantity', unit: 'henries', doc: 'Inductance, e.g. 22u' },
    volts: { is: 'quantity', unit: 'volts', doc: 'Rated voltage' },
    tolerance: { is: 'percent', doc: 'Tolerance of the value, e.g. 1%' },
    windings: WINDINGS,
    heatsink: {
      is: 'either',
      doc: 'true, or the name of the heatsink it is fastened to',
      options: [{ is: 'flag' }, LABEL],
    },
    torque: { is: 'number', doc: 'Screw torque from its data sheet, N·m', least: 0.05, most: 20 },
    insulator: {
      is: 'choice',
      words: ['pad', 'mica', 'none'],
      doc: 'What lies between its tab and the heatsink',
    },
    bank: { ...LABEL, doc: 'Parts in parallel that are replaced as a set carry one bank name' },
    'pin-at': {
      is: 'named',
      doc: 'Pad positions, x and y in mm',
      key: PIN_NAME,
      of: POSITION,
    },
    ...PLACING,
  },
  required: ['kind', 'pins'],
};

const NET_PAIR: ListShape = {
  is: 'list',
  doc: 'The two nets it joins',
  of: NET_NAME,
  least: 2,
  most: 2,
};

const JUMPER: Shape = {
  is: 'either',
  options: [
    NET_PAIR,
    {
      is: 'fields',
      title: 'a jumper',
      fields: {
        nets: NET_PAIR,
        ohms: { is: 'quantity', unit: 'ohms', doc: 'Resistance of the link' },
        ...PLACING,
      },
      required: ['nets'],
    },
  ],
};

const RAIL: FieldsShape = {
  is: 'fields',
  title: 'a rail',
  fields: {
    plus: { ...NET_NAME, doc: 'Net of the higher voltage' },
    minus: { ...NET_NAME, doc: 'Net of the lower voltage' },
    volts: { is: 'quantity', unit: 'volts', doc: 'Working voltage' },
  },
  required: ['plus', 'minus'],
};

const JUNCTIONS: ListShape = {
  is: 'list',
  of: {
    is: 'fields',
    title: 'a junction',
    fields: {
      from: { ...PIN_NAME, doc: 'Anode; a pin, or @ground or @each' },
      to: { ...PIN_NAME, doc: 'Cathode; a pin, or @supply or @each' },
      volts: {
        is: 'either',
        options: [
          { is: 'choice', words: ['rated'] },
          { is: 'quantity', unit: 'volts' },
        ],
        doc: 'Forward voltage at 1 mA; `rated` for breakdown at the part’s own volts',
      },
      slope: { is: 'number', least: 0.5, doc: 'Emission coefficient n; 1.7 when absent' },
      'rated-amps': {
        is: 'number',
        least: 1e-6,
        most: 1,
        doc: 'Current, A, at which `rated` volts are given; 0.001 when absent',
      },
      'rated-from': { is: 'quantity', unit: 'volts', doc: 'Only for parts rated so much or more' },
      'rated-below': { is: 'quantity', unit: 'volts', doc: 'Only for parts rated less' },
    },
    required: ['from', 'to', 'volts'],
  },
};

const MODE: FieldsShape = {
  is: 'fields',
  title: 'a failed mode',
  fields: {
    share: { is: 'number', least: 0, most: 1, doc: 'Share of the failures of this kind' },
    opens: { is: 'flag', doc: 'The part stops conducting' },
    joins: {
      is: 'list',
      of: PIN_PAIR,
      doc: 'Pairs of pins joined; @supply, @ground, @each, @next and @any stand for pins that differ',
    },
    ohms: {
      is: 'list',
      of: { is: 'quantity', unit: 'ohms' },
      least: 2,
      most: 2,
      doc: 'Lowest and highest resistance usually met',
    },
    junctions: { ...JUNCTIONS, doc: 'Junctions that the failure adds' },
    scales: {
      is: 'list',
      of: { is: 'number', least: 1e-3, most: 1e6 },
      least: 2,
      most: 2,
      doc: 'Lowest and highest factor on the healthy resistances',
    },
    cuts: { is: 'list', of: PIN_NAME, doc: 'Pins that lose contact inside the part' },
    'to-heatsink': { ...PIN_NAME, doc: 'Pin, or @ground, that touches a heatsink wired to a net' },
    source: text('Where the figures come from; starts with `default` when a shop may change it'),
  },
  required: ['share'],
};

const KIND: FieldsShape = {
  is: 'fields',
  title: 'a kind',
  fields: {
    title: { ...LABEL, doc: 'What a person calls it' },
    pins: { is: 'list', of: PIN_NAME, doc: 'Pin names in their usual order; empty: own pins' },
    'pin-aliases': { is: 'named', key: PIN_NAME, of: PIN_NAME, doc: 'Other spellings of a pin' },
    symmetric: { is: 'flag', doc: 'The two pins may be swapped' },
    value: { is: 'choice', words: ['ohms', 'farads', 'henries', 'none'], doc: 'Value it carries' },
    'typical-ohms': { is: 'quantity', unit: 'ohms', doc: 'Ω when a part gives none of its own' },
    link: { is: 'flag', doc: 'A wire or zero-ohm link: lifting one splits a board cheaply' },
    resistances: {
      is: 'list',
      doc: 'Resistances of the healthy part',
      of: {
        is: 'fields',
        title: 'a resistance',
        fields: {
          between: PIN_PAIR,
          ohms: {
            is: 'either',
            options: [
              { is: 'choice', words: ['value'] },
              { is: 'quantity', unit: 'ohms' },
            ],
            doc: 'Ω, or `value` for the part’s own ohms',
          },
          ratio: {
            is: 'number',
            least: 1e-3,
            most: 1,
            doc: 'What is taken of them; 1 when absent',
          },
        },
        required: ['between', 'ohms'],
      },
    },
    junctions: { ...JUNCTIONS, doc: 'Diode junctions of the healthy part, anode to cathode' },
    modes: { is: 'named', key: LABEL, of: MODE, doc: 'The ways it fails' },
    'fit-rate': { is: 'number', least: 0, doc: 'Failures per 10⁹ h; only ratios are used' },
    'joins-anyway': {
      is: 'number',
      least: 0,
      most: 1,
      doc: 'Chance at least that its pins are joined, as nobody knows what it does when sound',
    },
    source: text('Where the failure rate comes from'),
  },
  required: ['title', 'pins', 'fit-rate'],
};

/** Kinds by name, in the catalogue and in a board file. */
export const KINDS_SHAPE: NamedShape = {
  is: 'named',
  doc: 'Kinds of part this board adds to the catalogue',
  key: LABEL,
  of: KIND,
};

const COPPER_WEIGHT: Shape = {
  is: 'measure',
  of: 'weight',
  doc: 'Copper weight, e.g. 1 oz, 35 um',
};

const COPPER_WORDS: Shape = {
  is: 'choice',
  words: ['plane', 'traces'],
  doc: 'A filled area, or tracks from pad to pad',
};

const COPPER: FieldsShape = {
  is: 'fields',
  doc: 'What is known of the copper itself; it sharpens readings in milliohms',
  title: 'the copper',
  fields: {
    weight: COPPER_WEIGHT,
    nets: {
      is: 'named',
      doc: 'Copper of single nets: plane, traces, or more',
      key: NET_NAME,
      of: {
        is: 'either',
        options: [
          COPPER_WORDS,
          {
            is: 'fields',
            title: 'the copper of a net',
            fields: {
              shape: COPPER_WORDS,
              width: { is: 'measure', of: 'length', doc: 'Usual width of its traces, mm' },
              weight: COPPER_WEIGHT,
            },
            required: [],
          },
        ],
      },
    },
  },
  required: [],
};

/** A whole board file. */
export const BOARD_SHAPE: FieldsShape = {
  is: 'fields',
  title: 'a board file',
  fields: {
    board: { ...LABEL, doc: 'Name of the board' },
    revision: { ...LABEL, doc: 'Revision as printed on the board' },
    rails: { is: 'named', key: LABEL, of: RAIL, doc: 'Pairs of nets that carry supply' },
    parts: { is: 'named', key: PART_NAME, of: PART, least: 1, doc: 'Parts by name' },
    jumpers: { is: 'named', key: PART_NAME, of: JUMPER, doc: 'Wire links and zero-ohm links' },
    nets: {
      is: 'named',
      key: NET_NAME,
      doc: 'Facts about nets; a net exists by being named in a part or jumper',
      of: {
        is: 'fields',
        title: 'a net',
        fields: {
          points: { is: 'list', of: { is: 'text' }, doc: 'Handy places to put a probe' },
        },
        required: [],
      },
    },
    heatsinks: {
      is: 'named',
      doc: 'Heatsinks whose metal is wired to a net',
      key: LABEL,
      of: {
        is: 'fields',
        title: 'a heatsink',
        fields: { net: { ...NET_NAME, doc: 'Net its metal is wired to' } },
        required: ['net'],
      },
    },
    copper: COPPER,
    kinds: KINDS_SHAPE,
  },
  required: ['board', 'parts'],
};
