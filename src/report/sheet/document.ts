/** The sheet's view as pieces of text, tables and pictures, in the order of the job. */
import { cautionPoints } from '../cautions.ts';
import { moneyText } from '../money.ts';
import { ownText, padText, placeText, type RecheckPairView, type SeenView } from '../recheck.ts';
import { counted, listOf, minutesText, runsOf } from '../words.ts';
import { type Block, type Cell, cell, type SheetDocument, type Tone } from './blocks.ts';
import { clearedText, type TurnedView } from './found.ts';
import type { InjectionRunView } from './injections.ts';
import type { PowerStepView } from './power.ts';
import type { CostView, SheetView } from './view.ts';

/** The sheet of a job as blocks, ready to be written in any form. */
export function sheetDocument(view: SheetView): SheetDocument {
  return {
    title: `Job sheet: ${view.board}`,
    blocks: [
      ...headBlocks(view),
      ...arrivalBlocks(view),
      ...foundBlocks(view),
      ...readingBlocks(view),
      ...workBlocks(view),
      ...powerBlocks(view),
      ...timeBlocks(view),
      ...notDoneBlocks(view),
      ...cautionBlocks(view),
      { kind: 'blanks', labels: ['Technician', 'Date'] },
    ],
  };
}

const heading = (text: string): Block => ({ kind: 'heading', level: 2, text });
const subheading = (text: string): Block => ({ kind: 'heading', level: 3, text });

/** A list under a heading of its own; nothing when the list is empty. */
function listed(title: string, items: readonly string[], tone?: Tone): Block[] {
  if (items.length === 0) return [];
  return [subheading(title), { kind: 'list', items, ...(tone === undefined ? {} : { tone }) }];
}

const PURPOSE = { repair: 'repair', refurbish: 'refurbishment' } as const;

const END = {
  cleared: 'cleared',
  returned: 'returned as it is',
  uneconomic: 'beyond economic repair',
  open: 'not signed off yet',
} as const;

function headBlocks(view: SheetView): Block[] {
  const { end, revision } = view;
  const rows: [string, string][] = [
    ['Board', revision === undefined ? view.board : `${view.board}, revision ${revision}`],
    ['Job', `${view.job}, ${PURPOSE[view.purpose]}`],
    ['Opened', view.opened],
    [
      'Last event',
      `${view.lastEvent}; ${counted(view.events, 'event', 'events')}, ${view.takenBack} taken back`,
    ],
    ['Meter', view.meter],
    ['Sign-off', endText(view)],
    ...(end.text === undefined ? [] : [['Remark', end.text] as [string, string]]),
  ];
  return [
    { kind: 'facts', rows },
    {
      kind: 'text',
      tone: 'warn',
      text:
        'This sheet tells what was measured and done, and when. It does not make the board safe. Cold ' +
        'readings do not show every fault. Local codes and licensed practice come first.',
    },
  ];
}

function endText({ end }: SheetView): string {
  const place = end.event === undefined ? '' : ` (event ${end.event}, ${end.at ?? ''})`;
  return `${END[end.result]}${place}`;
}

function arrivalBlocks({ arrival }: SheetView): Block[] {
  const rows = [
    ...arrival.customer.map((text): [string, string] => ['Customer', text]),
    ...arrival.arrived.map((text): [string, string] => ['Arrived', text]),
    ...arrival.markings.map((text): [string, string] => ['Marking', text]),
  ];
  const seen = arrival.looks.map(({ event, text }) => `${text} (event ${event})`);
  const isEmpty = rows.length + seen.length + arrival.photos.length === 0;
  return [
    heading('What arrived'),
    ...(isEmpty ? [{ kind: 'text', text: 'Nothing was recorded at intake.' } as const] : []),
    ...(rows.length > 0 ? [{ kind: 'facts', rows } as const] : []),
    ...listed('Seen', seen),
    ...(arrival.photos.length > 0 ? [subheading('Photos')] : []),
    ...arrival.photos.map(({ file, text }): Block => ({ kind: 'photo', file, text })),
  ];
}

function foundBlocks({ found, readings, power }: SheetView): Block[] {
  const names = found.failed.map(({ part }) => part);
  const none =
    readings.phase === 'untouched' ? 'Nothing was found yet.' : 'No part was shown to have failed.';
  const text = names.length === 0 ? none : `Failed: ${names.join(', ')}.`;
  return [
    heading('What was found, and how'),
    { kind: 'text', text },
    ...(found.failed.length > 0 ? [failedTable(found.failed)] : []),
    ...found.ways.map(
      ({ caption, drawing, says }): Block => ({ kind: 'drawing', caption, drawing, says }),
    ),
    ...turnedTable(
      'Work that changed a reading: the last with the fault, the first without',
      'Work',
      found.turned,
    ),
    ...turnedTable('Legs lifted to narrow it down', 'Lifted', found.narrowed),
    ...listed('Shown healthy by readings', found.cleared.map(clearedText)),
    ...listed('Readings that may have been wrong', found.doubted, 'warn'),
    ...listed('Went wrong under power, and was looked for again cold', power.upsets, 'bad'),
    ...listed('What stays unknown', found.unknown),
  ];
}

function failedTable(failed: SheetView['found']['failed']): Block {
  return {
    kind: 'table',
    caption: 'Parts that failed',
    columns: ['Part', 'What showed it', 'Last readings that accused it'],
    rows: failed.map(({ part, kind, shown, accusedBy }) => [
      cell(`${part}, ${kind}`),
      cell(shown),
      cell(accusedBy.length === 0 ? 'none by itself' : accusedBy.join('; ')),
    ]),
  };
}

function turnedTable(caption: string, title: string, turned: readonly TurnedView[]): Block[] {
  if (turned.length === 0) return [];
  const rows = turned.flatMap(({ work, failed, pairs }) =>
    pairs.map(({ points, before, after, beforeEntry, afterEntry }) => [
      cell(points),
      cell(`${before} (event ${beforeEntry})`),
      cell(workWords(work, failed)),
      cell(`${after} (event ${afterEntry})`),
    ]),
  );
  return [{ kind: 'table', caption, columns: ['Points', 'Before', title, 'After'], rows }];
}

/** So much work at once points at nothing by itself. */
const MOST_WORK = 3;

function workWords(work: readonly string[], failed: readonly string[]): string {
  if (work.length <= MOST_WORK) return work.join('; ');
  const which =
    failed.length === 0 ? `${work[0]} to ${work.at(-1)}` : `of failed parts ${listOf(failed, 6)}`;
  return `${work.length} changes, ${which}`;
}

function readingBlocks({ readings, injections = [] }: SheetView): Block[] {
  const { pairs, parts } = readings;
  const rows = pairs.map((pair) => [
    cell(`${pair.red} to ${pair.black}${placeText(pair)}`),
    seenCell(pair.asFound),
    seenCell(pair.partsOff),
    seenCell(pair.putBack),
    cell(pair.change, toneOf(pair)),
  ]);
  return [
    heading('Readings before and after'),
    ...(pairs.length === 0
      ? [{ kind: 'text', text: 'Nothing was read.' } as const]
      : [
          {
            kind: 'table',
            caption:
              'Each pair of points as found, with parts off, and since everything was put back; events in brackets',
            columns: ['Points', 'As found', 'Parts off', 'Put back', 'Comparison'],
            rows,
          } as const,
        ]),
    ...(parts.length === 0
      ? []
      : [
          {
            kind: 'table',
            caption: 'Parts by themselves',
            columns: ['Part', 'What was done', 'On its own legs', 'On its pads'],
            rows: parts.map((part) => [
              cell(part.part),
              cell(`${part.fate}, event ${part.since}`),
              cell(ownText(part)),
              cell(padText(part)),
            ]),
          } as const,
        ]),
    ...injections.flatMap(injectionBlocks),
  ];
}

/** A current that was injected, with the millivolts along the copper. */
function injectionBlocks({ current, event, ended, readings, warm }: InjectionRunView): Block[] {
  const until = ended === undefined ? `on since event ${event}` : `events ${event} to ${ended}`;
  const felt = warm.length === 0 ? '' : ` Found warm: ${listOf(warm)}.`;
  const text = `A current was injected: ${current} (${until}).${felt}`;
  if (readings.length === 0) return [{ kind: 'text', text }];
  const rows = readings.map(({ points, value, event: n }) => [
    cell(points),
    cell(value),
    cell(String(n)),
  ]);
  const columns = ['Points', 'Along the copper', 'Event'];
  return [
    { kind: 'text', text },
    { kind: 'table', caption: `Under ${current}`, columns, rows },
  ];
}

function seenCell(seen: SeenView | undefined): Cell {
  if (seen === undefined) return cell('not read');
  const note = seen.note === '' ? '' : `, ${seen.note}`;
  return cell(`${seen.value} (${seen.event}${note})`);
}

function toneOf({ change }: RecheckPairView): Tone | undefined {
  if (change === 'newly short' || change === 'still short') return 'bad';
  if (change === 'cleared' || change === 'put right') return 'good';
  return change === 'not read again' || change === 'unlike healthy' ? 'warn' : undefined;
}

function workBlocks({ work }: SheetView): Block[] {
  const { used, replaced } = work;
  return [
    heading('Work and parts'),
    ...(replaced.length === 0
      ? [{ kind: 'text', text: 'No part was replaced.' } as const]
      : [
          {
            kind: 'table',
            caption: 'Parts used',
            columns: ['What', 'Part number', 'Count', 'Places'],
            rows: used.map(({ what, partNumber = 'not stated', count, places }) => [
              cell(what),
              cell(partNumber),
              cell(String(count)),
              cell(places.join(', ')),
            ]),
          } as const,
          {
            kind: 'table',
            caption: 'Why each was replaced: it had failed, or it was renewed beside one that had',
            columns: ['Part', 'Kind of work', 'Why', 'Event'],
            rows: replaced.map(({ part, work: kind, why, event }) => [
              cell(part),
              cell(kind === 'failed' ? 'repair' : 'renewal'),
              cell(why),
              cell(String(event)),
            ]),
          } as const,
        ]),
    ...listed('Taken off and put back', work.putBack),
    ...listed('Not back on the board', work.missing, 'bad'),
    ...listed('Joints touched', work.joints),
    ...listed('Copper', work.copper),
    ...listed('Checked while fitting', work.checks),
    ...listed('Seen after the repair', work.seen),
  ];
}

function powerBlocks({ power, gates }: SheetView): Block[] {
  const rows = gates.map(({ name, holds, needs }) => [
    cell(name),
    cell(holds ? 'yes' : 'no', holds ? 'good' : 'warn'),
    cell(needs.join('; ')),
  ]);
  return [
    heading('Power-up and soak'),
    ...listed('Voltage left before the cold readings', power.residuals),
    {
      kind: 'table',
      caption: 'Measured cold since the last change',
      columns: ['Condition', 'Holds', 'What is missing'],
      rows,
    },
    ...stepTable('First power and function', power.steps),
    ...stepTable('Soak', power.soak),
  ];
}

function stepTable(caption: string, steps: readonly PowerStepView[]): Block[] {
  if (steps.length === 0) return [{ kind: 'text', text: `${caption}: not done.` }];
  const rows = steps.map(({ what, result, stopped, at, event }) => [
    cell(what),
    cell(result, stopped ? 'bad' : undefined),
    cell(at),
    cell(String(event)),
  ]);
  return [{ kind: 'table', caption, columns: ['What', 'Result', 'When', 'Event'], rows }];
}

function timeBlocks({ time, notes, cost }: SheetView): Block[] {
  const rows = time.stages.map(({ stage, minutes, state, needs }) => [
    cell(stage),
    ...(state === undefined ? [] : [cell(state, state === 'held up' ? 'warn' : undefined)]),
    cell(minutes === 0 ? 'none' : minutesText(minutes)),
    ...(state === undefined ? [] : [cell(needsText(needs))]),
  ]);
  const isKnown = time.stages.some(({ state }) => state !== undefined);
  const away =
    time.breaks === 0
      ? `No stretch without an event was longer than ${time.awayAfter} min.`
      : `Left out as time away: ${counted(time.breaks, 'stretch', 'stretches')} of more than ${time.awayAfter} min without an event, ${minutesText(time.awayMinutes)} together.`;
  return [
    heading('Stages and time at the bench'),
    {
      kind: 'table',
      caption: `${minutesText(time.minutes)} together, counted from event to event`,
      columns: isKnown
        ? ['Stage', 'State', 'Time', 'Left out for, or still needs']
        : ['Stage', 'Time'],
      rows,
    },
    { kind: 'text', text: away },
    ...(cost === undefined ? [] : costBlocks(cost)),
    ...listed(
      'Notes',
      notes.map(({ event, text }) => `${text} (event ${event})`),
    ),
  ];
}

/** A few of them say enough; the job itself lists them all. */
const MOST_NEEDS = 2;

function needsText(needs: readonly string[]): string {
  const more = needs.length - MOST_NEEDS;
  const shown = needs.slice(0, MOST_NEEDS).join('; ');
  return more > 0 ? `${shown}; and ${more} more` : shown;
}

function costBlocks({ currency, parts, time, unpriced }: CostView): Block[] {
  const rows: [string, string][] = [
    ['parts', moneyText(parts, currency)],
    ...(time === undefined
      ? []
      : [
          ['time', moneyText(time, currency)] as [string, string],
          ['together', moneyText(parts + time, currency)] as [string, string],
        ]),
  ];
  return [
    subheading('Cost by the figures of the shop'),
    { kind: 'facts', rows },
    ...(unpriced.length === 0
      ? []
      : [{ kind: 'text', text: `Without a price: ${runsOf(unpriced, 12)}.` } as const]),
  ];
}

function notDoneBlocks({ notDone }: SheetView): Block[] {
  if (notDone.length === 0) return [];
  return [heading('Not done'), { kind: 'list', items: notDone, tone: 'warn' }];
}

function cautionBlocks({ cautions }: SheetView): Block[] {
  return [heading('Cautions'), { kind: 'list', items: cautionPoints(cautions) }];
}
