import { LABEL } from '../board/names.ts';
import type { FieldsShape, NamedShape, Shape } from '../board/shape.ts';
import type { DrivenMode } from './reading.ts';

/** The shape of a meter file. What one figure asks of another is in `meter-file.ts`. */

/** Every mode in which a meter drives the points, in the order they are written. */
export const METER_MODES: readonly DrivenMode[] = [
  'continuity',
  'ohms',
  'low-voltage',
  'diode',
  'four-wire',
];

const SOURCE: Shape = {
  is: 'text',
  doc: 'Where the figures come from; starts with `default` when a shop may change them',
};

const MODE: FieldsShape = {
  is: 'fields',
  title: 'a mode',
  fields: {
    ranges: {
      is: 'list',
      doc: 'Ranges, lowest first, each with its most ohms and its test current',
      least: 1,
      of: {
        is: 'fields',
        title: 'a range',
        fields: {
          ohms: { is: 'quantity', unit: 'ohms', doc: 'Most it shows; none: bound by volts alone' },
          amps: { is: 'quantity', unit: 'amps', doc: 'Test current, e.g. 1m' },
        },
        required: ['amps'],
      },
    },
    volts: { is: 'quantity', unit: 'volts', doc: 'Most volts it drives, or shows; more reads OL' },
    source: SOURCE,
  },
  required: ['ranges', 'volts'],
};

const MODE_DOCS: Readonly<Record<DrivenMode, string>> = {
  continuity: 'The beeper',
  ohms: 'Resistance, with one lead to each point',
  'low-voltage': 'Ohms measured below what turns a silicon junction on',
  diode: 'Volts across a junction, at a small current',
  'four-wire': 'Ohms with two leads for the current and two for the voltage',
};

const METER: FieldsShape = {
  is: 'fields',
  title: 'a meter',
  fields: {
    beeper: {
      is: 'fields',
      title: 'a beeper',
      doc: 'Where the beeper stops',
      fields: {
        ohms: { is: 'quantity', unit: 'ohms', doc: 'It sounds below this' },
        spread: { is: 'percent', doc: 'Give or take this much, one standard deviation, e.g. 20%' },
        source: SOURCE,
      },
      required: ['ohms', 'spread'],
    },
    leads: {
      is: 'quantity',
      unit: 'ohms',
      zero: true,
      doc: 'Ω of both leads and contacts together; 0 when the meter was nulled',
    },
    contact: {
      is: 'quantity',
      unit: 'ohms',
      zero: true,
      doc: 'Ω by which leads and contacts differ from touch to touch, one standard deviation',
    },
    gain: { is: 'percent', doc: 'How far its ohms are off in proportion, e.g. 1%' },
    modes: {
      is: 'fields',
      title: 'a set of modes',
      doc: 'What it can measure, and how each mode drives the points',
      fields: Object.fromEntries(METER_MODES.map((mode) => [mode, modeShape(mode)])),
      required: ['continuity', 'ohms'],
    },
    source: SOURCE,
  },
  required: ['beeper', 'leads', 'contact', 'gain', 'modes'],
};

function modeShape(mode: DrivenMode): Shape {
  return { ...MODE, doc: MODE_DOCS[mode] };
}

/** Meters by name, in the catalogue and in a shop's own file. */
export const METERS_SHAPE: NamedShape = {
  is: 'named',
  doc: 'Meters by name',
  key: LABEL,
  of: METER,
  least: 1,
};
