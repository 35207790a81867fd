import { LABEL } from '../../board/names.ts';
import type { FieldsShape, ListShape, NumberShape, Shape, TextShape } from '../../board/shape.ts';

/**
 * The shape of a shop's settings file: one description for the checks, the JSON Schema, the starter
 * file and the list of what is in force. Sources of the defaults stand with each figure.
 */

/** No bench work is free: a step for nothing would be asked for without end. */
const LEAST_MINUTES = 0.01;

const minutes = (doc: string, most = 600): NumberShape => ({
  is: 'number',
  doc: `${doc}, min`,
  least: LEAST_MINUTES,
  most,
});
const factor = (doc: string): NumberShape => ({ is: 'number', doc, least: 1, most: 1000 });
const share = (doc: string): Shape => ({ is: 'percent', doc });
const money = (doc: string): NumberShape => ({ is: 'number', doc, least: 0, most: 1e9 });
const names = (doc: string): ListShape => ({ is: 'list', doc, of: LABEL });
const line = (doc: string): TextShape => ({ ...LABEL, doc, asks: 'text on one line' });

/** A group in which every key may be left out. */
function group(title: string, doc: string, fields: Readonly<Record<string, Shape>>): FieldsShape {
  return { is: 'fields', title, doc, fields, required: [] };
}

const READING = group('a set of reading times', 'One reading, by the mode of the meter', {
  continuity: minutes('The beeper, probes at hand'),
  ohms: minutes('Ohms, settling included'),
  'low-voltage': minutes('Ohms below what turns a junction on'),
  diode: minutes('Diode test, both ways'),
  'four-wire': minutes('Milliohms with four leads, set-up included'),
  millivolts: minutes('Millivolts along copper, the injected current on already'),
});

function byMount(title: string, doc: string): FieldsShape {
  return group(title, doc, {
    link: minutes('A wire link or zero-ohm link'),
    'two-leads': minutes('Two leads through the board'),
    'three-leads': minutes('Three leads through the board'),
    'many-leads': minutes('More leads, before what each further lead adds'),
    tab: minutes('A tab on a heatsink, the heatsink open already'),
    chip: minutes('A chip with two ends'),
    'small-outline': minutes('A small package with three to six legs'),
    'fine-pitch': minutes('Legs on two or four sides, fine pitch'),
    'thermal-pad': minutes('A pad underneath, preheat and hot air'),
    'ball-grid': minutes('Balls underneath, on a rework station'),
  });
}

const BENCH_TIMES = group(
  'a set of bench times',
  'Minutes each kind of bench work takes: engineering estimates that include setting up for the next reading; a joint itself takes 2 to 5 s of heat. Time your own',
  {
    reading: READING,
    'leg-reading': minutes('A part read on its own legs, off the board'),
    look: minutes('A look at a part or a joint'),
    'reflow-joint': minutes('A joint heated again'),
    'lift-link': minutes('One end of a wire link raised'),
    'refit-link': minutes('That end put back'),
    'lift-leg': minutes('One leg of a two-legged part raised'),
    'refit-leg': minutes('That leg put back'),
    remove: byMount('a set of times to take parts off', 'A part off the board, by how it sits'),
    fit: byMount('a set of times to fit parts', 'A part fitted, cleaning and a look included'),
    'open-heatsink': minutes('Getting at a heatsink, once for all parts on it'),
    'per-lead-beyond-three': minutes('Added by each lead beyond three'),
  },
);

const STAGE_TIMES = group(
  'a set of stage times',
  'Minutes of attendance in the stages that no single step prices: engineering estimates',
  {
    intake: minutes('Taking the board in'),
    'look-over': minutes('The look-over'),
    'touch-up': minutes('Touching up joints'),
    'power-up': minutes('First power, stage by stage'),
    soak: minutes('Setting up the soak and looking in, not its length'),
    'sign-off': minutes('Writing it up'),
  },
);

const POLICIES = group('a set of policies', 'What the shop does as a rule; advice follows it', {
  'renew-banks-as-sets': {
    is: 'flag',
    doc: 'Parts of one bank are renewed together when any of them failed',
  },
  'healthy-part-off': {
    is: 'number',
    doc: 'Minutes a part that comes off and turns out healthy counts for beside the work, as heat costs pads; default estimate',
    least: 0,
    most: 600,
  },
  'replace-on-suspicion': group(
    'a policy for cheap parts',
    'Cheap parts go without a reading that would make sure',
    {
      kinds: names('Kinds of part this is for'),
      'up-to': money('Price of one part up to which it goes; none: no part goes on suspicion'),
      from: share('Weight of the suspicion from which it goes'),
    },
  ),
});

const DOUBTS = group(
  'a set of doubts',
  'What the reasoning assumes where the record says nothing; kept in each job when it is opened',
  {
    'expected-faults': {
      is: 'number',
      doc: 'Faults a meter could show that a board carries, on average; default estimate',
      least: 0.01,
      most: 20,
    },
    slip: share('Readings that are a slip: wrong point, no contact, misread'),
    'wrong-for-good': share('Readings that stay wrong however often they are repeated'),
    'unlisted-link': share('Pairs of nets that read joined by something the board file lacks'),
    'broken-copper': share('Nets whose copper is broken between two points'),
    'bank-together': share('Failures in a bank that take several of its parts'),
    'heatsink-factor': factor('Times likelier a part on a heatsink fails'),
    'fails-first-factor': factor('Times likelier a part fails that the shop knows to fail first'),
    'fuse-factor': factor('Times likelier a fuse is open than by its own rate'),
    'sure-from': share('Weight from which a repair starts without further readings'),
    'fit-unread-from': share(
      'Weight above which a new part is fitted without a reading with the old one off; 100% for never',
    ),
    'clear-below': share('Weight below which nothing in circuit is suspected any more'),
    'renew-from': share('Weight from which a part off the board is renewed, not put back'),
    'unread-faults': {
      is: 'number',
      doc: 'Expected faults that may go unread on a board called clear; fewer means more readings',
      least: 0.0001,
      most: 1,
    },
  },
);

const THRESHOLDS = group('a set of thresholds', 'Limits that the tool holds to', {
  discharge: group(
    'a set of discharge limits',
    'What may be left between two points before the board is read; the limits that refuse can be lowered, not raised',
    {
      'warn-volts': {
        is: 'number',
        doc: 'Volts above which it warns (usual practice: below 1 V, wait, measure again)',
        least: 0.01,
        most: 10,
      },
      'refuse-volts': {
        is: 'number',
        doc: 'Volts above which no reading is taken (IEC 62368-1, ES1: 60 V DC)',
        least: 0.1,
        most: 60,
      },
      'refuse-joules': {
        is: 'number',
        doc: 'Joules above which no reading is taken (shock hazard of capacitors, Berkeley Lab: 10 J)',
        least: 0.001,
        most: 10,
      },
    },
  ),
  injection: group(
    'a set of injection limits',
    'What a supply is set to that sends a current into a cold board; can be lowered, not raised',
    {
      'most-volts': {
        is: 'number',
        doc: 'Volts at most (ours: silicon junctions stay off below 0.3 V)',
        least: 0.1,
        most: 0.3,
      },
      'most-amps': {
        is: 'number',
        doc: 'Amperes at most (ours: plenty for millivolts)',
        least: 0.01,
        most: 1,
      },
    },
  ),
  soak: group('a soak', 'The soak under power', {
    minutes: minutes('How long it runs', 10_000),
    'observe-every': minutes('How often it is looked at', 10_000),
  }),
  'away-after': minutes('Without an entry for longer, nobody was at the bench', 10_000),
  'worth-up-to': share("Share of a board's value the whole job may cost before a warning"),
});

const MEMORY = group(
  'a set of memory settings',
  'What past boards teach the next one; a job keeps what it was opened with',
  {
    use: { is: 'flag', doc: 'New jobs start from what past boards taught' },
    records: line(
      "Folder whose job records teach, with all below it, from this file's folder; none: the new job's own folder",
    ),
    database: line(
      'PostgreSQL database that all benches of the shop share: postgres://USER@HOST/NAME; none: the records alone',
    ),
    'customers-words': {
      is: 'flag',
      doc: "Customers' names and words go into that database as well",
    },
    'handbooks-count': {
      is: 'number',
      doc: 'The failure rates of the handbooks count as much as so many boards; default estimate',
      least: 1,
      most: 100_000,
    },
    'half-after': {
      is: 'number',
      doc: 'After so many further boards of the same model a job counts half; default estimate',
      least: 1,
      most: 1_000_000,
    },
  },
);

const CHECK: Shape = {
  is: 'either',
  options: [
    {
      is: 'fields',
      title: 'a check',
      fields: {
        check: line('The check in your words'),
        boards: names('Boards it is for, by name'),
      },
      required: ['check'],
    },
    line('The check in your words'),
  ],
};

export const SHOP_SHAPE: FieldsShape = group('a settings file', '', {
  shop: line("The shop's name"),
  'bench-times': BENCH_TIMES,
  'stage-times': STAGE_TIMES,
  policies: POLICIES,
  doubts: DOUBTS,
  thresholds: THRESHOLDS,
  memory: MEMORY,
  meter: line('The meter of new jobs: a name from `trace-short meter`, a file, or FILE:NAME'),
  sound: {
    is: 'flag',
    doc: "The terminal's bell tells what happened at the bench",
  },
  checks: { is: 'list', doc: 'Function checks after power-up, in your words', of: CHECK },
  currency: line('Shown with sums of money, e.g. EUR'),
  'hourly-rate': money('Money per hour at the bench'),
  prices: group('a set of prices', 'What parts cost', {
    list: line("A price list (CSV by part number), from this file's folder"),
    usual: {
      is: 'named',
      doc: 'What a part of a kind usually costs, where the list has no price for it',
      key: LABEL,
      of: money('Price of one part'),
    },
  }),
  boards: {
    is: 'named',
    doc: 'Boards by name, as their board files have it',
    key: LABEL,
    of: {
      is: 'fields',
      title: 'a board',
      fields: { value: money('What it is worth repaired') },
      required: ['value'],
    },
  },
});
