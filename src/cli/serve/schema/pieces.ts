/** Pieces that several results share. */
import { WORK_STAGES } from '../../../job/stage-of.ts';
import {
  choice,
  type Fields,
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

const EVENT_NUMBER = whole('number of the event in the record', 1);

export const STAGE: Schema = choice('stage of the job', ...WORK_STAGES);

export const RECORDED: Schema = list(
  object({ n: EVENT_NUMBER, say: text('the line as the record keeps it') }),
  'what was recorded',
);

export const PIECES: Readonly<Record<string, Schema>> = {
  fault: object({
    what: choice('what has failed', 'part', 'joint', 'bridge', 'link', 'copper'),
    parts: texts('the parts it could be; more than one when nothing read so far tells them apart'),
    mode: text('how it has failed'),
    'pin?': text('pin of an open joint'),
    'nets?': texts('nets joined by a bridge or link, or of broken copper'),
  }),
  faultSet: object(
    {
      text: text('in words'),
      faults: list(ref('fault'), 'what has failed if it is true'),
      weight: weight('its share of the weight'),
      wrongReadings: list(EVENT_NUMBER, 'readings that are wrong if it is true'),
    },
    'faults that together explain every reading',
  ),
  mode: object({ mode: text('failed mode'), weight: weight('its weight') }),
  reading: object({ id: EVENT_NUMBER, text: text('what was read') }),
  gate: object({
    name: text('what must hold before power'),
    holds: flag('whether it does'),
    needs: texts('what is still to be done for it'),
  }),
  instead: object(
    {
      text: text('the step'),
      minutes: number('bench minutes of it', 0),
      whole: number('minutes until the culprit is found with it first', 0),
      best: number('the same with the best step first', 0),
    },
    'what it would be to take this as the next step',
  ),
  injection: object(
    { red: text('plus'), black: text('minus'), amps: number('A', 0), text: text('in words') },
    'the current that is on',
  ),
  wrongSet: object({
    readings: list(EVENT_NUMBER, 'readings that may be wrong together'),
    weight: weight('weight of that'),
  }),
  diagnostic: object(
    {
      code: text('stable name of the problem'),
      severity: choice('how bad', 'error', 'warning'),
      message: text('what is wrong'),
      'hint?': text('how to mend it'),
      'place?': object(
        {
          file: text('file, or what stands for one'),
          line: whole('from 1', 1),
          column: whole('from 1', 1),
          endColumn: whole('one past the last', 1),
        },
        'where it stands',
      ),
      'shown?': text('all of it as a person would see it, with the line and a caret'),
    },
    'one thing wrong',
  ),
};

/** What `record` and `undo` answer. */
export const CHANGE: Fields = {
  recorded: RECORDED,
  moved: list(
    object({
      part: name('a part'),
      before: weight('its weight before'),
      after: weight('its weight now; 0 when it is a suspect no more'),
    }),
    'suspects whose weight moved, the largest move first',
  ),
  newlyCleared: texts('parts shown healthy by it'),
  'likeliest?': ref('faultSet'),
  contradictory: flag('the readings cannot all be right together'),
  wrongSets: list(
    ref('wrongSet'),
    'the smallest sets of readings that may be wrong, heaviest first',
  ),
  unmeasured: texts(
    'lines that record voltages left which nobody measured before, without their values',
  ),
  'injectionDoubts?': texts('what to mind about a current just begun, or a voltage under it'),
};

/** What `state` answers, and `open` with it. */
export const STATE: Schema = object({
  events: EVENT_NUMBER,
  stage: STAGE,
  stages: list(
    object({
      stage: STAGE,
      state: choice('how it stands', 'not begun', 'under way', 'done', 'skipped', 'held up'),
      needs: texts('what it still needs'),
    }),
    'every stage, in order',
  ),
  sets: list(ref('faultSet'), 'fault sets, heaviest first'),
  suspects: list(
    object({
      part: name('a part'),
      kind: text('what it is'),
      weight: weight('chance that it has failed'),
      modes: list(ref('mode'), 'how, heaviest first'),
      alike: texts('parts that nothing read so far tells it from'),
    }),
    'suspects, heaviest first',
  ),
  cleared: list(
    object({
      part: name('a part'),
      by: list(EVENT_NUMBER, 'readings that showed it'),
      weight: weight('what is left of its weight'),
    }),
    'parts shown healthy',
  ),
  doubtful: list(
    object({
      id: EVENT_NUMBER,
      text: text('the reading'),
      weight: weight('chance that it is wrong'),
    }),
    'readings that are probably wrong',
  ),
  wrongSets: list(
    ref('wrongSet'),
    'the smallest sets of readings that may be wrong, heaviest first',
  ),
  contradictory: flag('the readings cannot all be right together'),
  missingLinks: list(
    object({ nets: texts('two nets'), weight: weight('its weight') }),
    'connections the board file may lack',
  ),
  leftOut: weight('at most this much weight lies in fault sets that were not looked at'),
  faultWeight: weight('chance that something on the board has failed in a way a meter can show'),
  ledger: list(
    object({
      part: name('a part'),
      'pin?': name('the lifted leg; the whole part is off when it is absent'),
      since: EVENT_NUMBER,
      text: text('in words'),
    }),
    'what is not back on the board',
  ),
  gates: list(ref('gate'), 'what must hold before power'),
  warnings: texts('charges to be minded'),
  'injection?': ref('injection'),
});
