/** What each method takes and answers. */
import { CALL_KINDS } from '../../../report/step-for-programs.ts';
import { line, MODES, POINTS, SAID_OBJECT } from '../said-object.ts';
import { CHANGE, RECORDED, STAGE, STATE } from './pieces.ts';
import {
  choice,
  closed,
  either,
  flag,
  list,
  name,
  number,
  object,
  ref,
  type Schema,
  text,
  texts,
  weight,
  whole,
} from './words.ts';

const JOB = whole('number of the job, as `open` gave it', 1);
const MODE = choice('mode of the meter', ...MODES);
/** Standard input is the conversation, so no file is called `-`. */
const PATH: Schema = {
  type: 'string',
  pattern: '^(?!-$)[^\\p{Cc}]+$',
  description: 'path of a file',
};
const SAID = either('a line of the notation or an object', line('a line of the notation'), {
  ...SAID_OBJECT,
  type: 'object',
});

/** Params by method; nothing but what is listed may stand in them. */
export const PARAMS: Readonly<Record<string, Schema>> = closeAll({
  open: object({
    'board?': PATH,
    'boardText?': text('what a board file holds, in place of one'),
    'file?': {
      ...PATH,
      description: 'the job file: gone on with, or made; none keeps it in memory',
    },
    'purpose?': choice('what a new job is opened for', 'repair', 'refurbish'),
    'settings?': object(
      {
        'shop?': either(
          'settings file, `none` for the defaults, or the settings themselves',
          PATH,
          { type: 'object', description: 'as trace-short/shop.schema.json' },
        ),
        'meter?': line('name of a meter, a file that holds one, or FILE:NAME; of a new job only'),
      },
      'how the shop works',
    ),
    'drill?': object(
      {
        'seed?': whole('which faults are hidden, and what is read', 0),
        'faults?': either(
          'how many faults are hidden, or which',
          whole('how many', 0),
          list(object({ part: name('a part'), mode: line('a failed mode of it') }), 'which', 1, 50),
        ),
      },
      'a simulated board with hidden faults, which `measure` reads; such a job has no file',
    ),
  }),
  next: object({ job: JOB }),
  record: object({
    job: JOB,
    'event?': SAID,
    'events?': list(SAID, 'several, recorded all or, when one is refused, none', 1, 10_000),
  }),
  state: object({ job: JOB }),
  why: object({ job: JOB, 'part?': name('a part'), 'points?': POINTS }),
  predict: object({ job: JOB, points: POINTS, 'mode?': MODE }),
  undo: object({ job: JOB, 'count?': whole('events to take back; 1 by default', 1) }),
  measure: object({
    job: JOB,
    'points?': POINTS,
    'mode?': MODE,
    'off?': name('the part, when it is read off the board on its own legs'),
  }),
  close: object({ job: JOB }),
});

function closeAll(schemas: Readonly<Record<string, Schema>>): Readonly<Record<string, Schema>> {
  return Object.fromEntries(Object.entries(schemas).map(([key, schema]) => [key, closed(schema)]));
}

const OUTCOMES = list(
  object({
    answer: text('what may be found'),
    weight: weight('its chance'),
    means: text('what it would mean'),
  }),
  'what may be found',
);

const NEXT = object({
  kind: choice('what the hands do next', ...CALL_KINDS),
  stage: STAGE,
  phase: choice('where the search is', 'survey', 'isolate', 'repair', 'prove', 'clear'),
  text: text('the step in words'),
  why: text('why, in one sentence'),
  points: texts('red and black point of a reading; none for other steps'),
  'mode?': MODE,
  'off?': text('the part, when it is read off the board on its own legs'),
  'then?': object(
    { points: texts('red and black point'), mode: MODE },
    'reading to take right after',
  ),
  parts: texts('parts it is about'),
  pins: texts('pins it is about'),
  nets: texts('nets it is about'),
  minutes: number('bench minutes of it', 0),
  minutesLeft: number('expected bench minutes to a board read clear', 0),
  outcomes: OUTCOMES,
  where: texts('where to find it'),
  list: texts('what it is about, the most important first'),
  answers: list(
    object({ label: text('the answer'), say: texts('the lines that record it') }),
    'answers and the lines each records',
  ),
  'value?': text('a line that lacks its value or finding alone'),
  'hold?': object(
    {
      seconds: number('how long', 0),
      farads: number('F across the points', 0),
      parts: texts('capacitors'),
      beepSeconds: number('how long they keep the beeper on', 0),
      overSeconds: number('how long until OL', 0),
      swap: flag('whether to swap the probes and read again'),
      text: text('in words'),
    },
    'how long to hold the probes',
  ),
  others: list(
    object({ text: text('the step'), minutes: number('bench minutes', 0), why: text('why') }),
    'other steps worth the time',
  ),
  open: texts('what still stands between this board and clear'),
  warnings: texts('charges to be minded'),
  'injection?': ref('injection'),
});

const PART = object({
  part: name('a part'),
  kind: text('what it is'),
  weight: weight('chance that it has failed'),
  modes: list(ref('mode'), 'how, heaviest first'),
  alike: texts('parts that nothing read so far tells it from'),
  accusedBy: list(ref('reading'), 'readings that accuse it'),
  clearedBy: list(ref('reading'), 'readings that clear it'),
  sets: list(ref('faultSet'), 'fault sets it stands in'),
  'instead?': ref('instead'),
});

const PAIR = object({
  nets: texts('the two nets'),
  'healthyOhms?': number('Ω on a healthy board; nothing joins them when it is absent', 0),
  'goodBoard?': texts('what a good board read there, as lines of the notation'),
  conducts: weight('chance that they conduct now'),
  ways: list(
    object({
      weight: weight('chance of this way'),
      ohms: number('Ω of it', 0),
      links: list(
        object({
          text: text('what conducts'),
          what: text('a healthy part, or what has failed'),
          parts: texts('parts'),
          'mode?': text('failed mode'),
          from: text('net'),
          to: text('net'),
          ohms: number('Ω', 0),
          weight: weight('its chance'),
        }),
        'from the first net to the second',
      ),
    }),
    'ways that may conduct, heaviest first',
  ),
  breakers: list(
    object({
      text: text('what to lift or take off'),
      parts: texts('parts'),
      'pin?': text('the pin'),
      share: weight('chance that it ends the conduction, if there is one'),
    }),
    'what would end it',
  ),
  'instead?': ref('instead'),
});

const BOARD = object({
  name: text('its name'),
  'revision?': text('its revision'),
  file: text('its file as named'),
  digest: text('SHA-256 of it, hex'),
  parts: whole('how many parts', 0),
  nets: whole('how many nets', 0),
  rails: list(
    object({
      name: text('its name'),
      plus: text('net'),
      minus: text('net'),
      'volts?': number('V in operation'),
    }),
    'rails',
  ),
});

const CAUTIONS = object(
  {
    board: text('its name'),
    mains: flag('something about it suggests mains or another dangerous voltage'),
    'mainsReason?': text('what does'),
    charges: list(
      object({
        nets: texts('two nets, positive first where known'),
        farads: number('F', 0),
        volts: number('V', 0),
        rated: flag('V are what the capacitors are rated for'),
        joules: number('J', 0),
        bleedOhms: number('Ω that suit', 0),
        bleedWatts: number('W at first', 0),
        bleedSeconds: number('s down to 1 V', 0),
      }),
      'what it may hold, the largest first',
    ),
  },
  'to be shown before hands go on the board',
);

const DRILL = object({
  hidden: texts('the faults that were hidden'),
  missed: texts('those whose part was never replaced'),
  clear: flag('nothing was left to ask for'),
  readings: whole('readings taken', 0),
  lifts: whole('legs lifted', 0),
  replaced: texts('parts replaced'),
  healthyPulled: texts('parts without a fault that came off'),
  bankMates: texts('parts of a bank in which another had failed'),
});

/** Results by method; keys may be added, so a caller passes over those it does not know. */
export const RESULTS: Readonly<Record<string, Schema>> = {
  open: object({
    schema: { const: 'trace-short/serve/1' },
    job: JOB,
    label: text('the job file, or what stands for it'),
    isNew: flag('it was not there before'),
    purpose: choice('what for', 'repair', 'refurbish', 'drill'),
    board: BOARD,
    meter: text('the meter its readings are taken with'),
    cautions: CAUTIONS,
    notices: list(ref('diagnostic'), 'what is odd about the files'),
    state: STATE,
  }),
  next: NEXT,
  record: object({ ...CHANGE }),
  state: STATE,
  why: object({ 'part?': PART, 'pair?': PAIR }),
  predict: object({
    points: POINTS,
    mode: MODE,
    outcomes: list(
      object({
        answer: text('what the meter may show'),
        weight: weight('its chance'),
        'value?': number('Ω, or V in a diode test; the likeliest', 0),
        'low?': number('19 of 20 such readings are above…', 0),
        'high?': number('…and below', 0),
      }),
      'what the meter may show, likeliest first; the chances sum to 1',
    ),
    leftOut: weight('at most this much weight was not looked at'),
  }),
  undo: object({ undone: RECORDED, ...CHANGE }),
  measure: object({ lines: texts('lines to record') }),
  close: object({ closed: { const: true }, 'drill?': DRILL }),
};
