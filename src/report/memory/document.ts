import { WORK_STAGES } from '../../job/stage-of.ts';
import { type Block, type Cell, cell, type SheetDocument } from '../sheet/blocks.ts';
import { counted, listOf } from '../words.ts';
import type { FailsView, InnocentView, ModelView } from './model-view.ts';

const heading = (text: string): Block => ({ kind: 'heading', level: 2, text });
/** Longer tables say how much more there is. */
const MOST_ROWS = 25;

/** What the memory holds of one model, ready to be written as text or HTML. */
export function modelDocument(view: ModelView): SheetDocument {
  return {
    title: `Past boards: ${view.model}`,
    blocks: [
      ...headBlocks(view),
      ...failBlocks(view),
      ...otherBlocks(view),
      ...comebackBlocks(view),
      ...minuteBlocks(view),
      ...workBlocks(view),
      ...recordBlocks(view),
    ],
  };
}

function headBlocks({ names, jobs, teaching, countsFor }: ModelView): Block[] {
  const rows: [string, string][] = [
    ['Jobs', `${jobs}, of which ${teaching} teach something`],
    ['They count for', counted(countsFor, 'board')],
  ];
  if (names.length > 0) rows.push(['Also called', listOf(names)]);
  return [
    { kind: 'facts', rows },
    {
      kind: 'text',
      text: 'Found failed is what a reading, its own repair or an eye showed. What was renewed beside it, as a set or to be sure, is told apart and counts for nothing.',
    },
  ];
}

function failBlocks({ fails, together, joints, teaching }: ModelView): Block[] {
  if (fails.length === 0)
    return [heading('What fails'), { kind: 'text', text: 'Nothing was found failed yet.' }];
  const shown = fails.slice(0, MOST_ROWS);
  const sure = shown.filter(({ jobs }) => jobs > 0);
  return [
    heading('What fails'),
    ...(sure.length === 0
      ? []
      : [
          {
            kind: 'bars' as const,
            caption: `Found failed, on how many of ${counted(teaching, 'board')}`,
            bars: sure.map(({ part, jobs }) => ({ name: part, value: jobs, says: String(jobs) })),
          },
        ]),
    {
      kind: 'table',
      caption: 'How it failed, and what showed it',
      columns: ['Part', 'Kind', 'Boards', 'Left', 'Shown by', 'Else'],
      rows: shown.map(failRow),
    },
    ...more(fails.length),
    ...(together.length === 0
      ? []
      : [
          heading('What fails with what'),
          {
            kind: 'bars' as const,
            caption: 'Found failed in the same job',
            bars: together.map(({ parts, jobs }) => ({
              name: listOf(parts),
              value: jobs,
              says: String(jobs),
            })),
          },
        ]),
    ...(joints.length === 0
      ? []
      : [
          heading('Joints found cracked'),
          {
            kind: 'list' as const,
            items: joints.map(({ joint, jobs }) => `${joint}: ${counted(jobs, 'board')}`),
          },
        ]),
  ];
}

function failRow({
  part,
  kind,
  jobs,
  maybe,
  shorts,
  opens,
  by,
  cleared,
  renewed,
}: FailsView): Cell[] {
  const left = [
    ...(shorts > 0 ? [counted(shorts, 'short')] : []),
    ...(opens > 0 ? [counted(opens, 'open')] : []),
  ];
  const shown = Object.entries(by).map(([how, count]) => `${how} ${count}`);
  const other = [
    ...(maybe > 0 ? [`perhaps on ${maybe} more`] : []),
    ...(cleared > 0 ? [`cleared on ${cleared}`] : []),
    ...(renewed > 0 ? [`only renewed on ${renewed}`] : []),
  ];
  const texts = [part, kind, String(jobs), left.join(', '), shown.join(', '), other.join(', ')];
  return texts.map((text) => cell(text));
}

function otherBlocks({ innocent }: ModelView): Block[] {
  if (innocent.length === 0) return [];
  return [
    heading('Taken off or renewed, never found failed'),
    {
      kind: 'table',
      caption: 'Work that these boards did not need',
      columns: ['Part', 'Renewed', 'Cleared'],
      rows: innocent.slice(0, MOST_ROWS).map(innocentRow),
    },
    ...more(innocent.length),
  ];
}

function innocentRow({ part, renewed, cleared }: InnocentView): Cell[] {
  const by = Object.entries(cleared).map(([how, count]) => `${how} ${count}`);
  return [part, renewed === 0 ? '' : String(renewed), by.join(', ')].map((text) => cell(text));
}

function comebackBlocks({ comebacks }: ModelView): Block[] {
  if (comebacks.length === 0) return [];
  const items = comebacks.slice(-MOST_ROWS).map(({ first, again, days, parts }) => {
    const same = parts.length === 0 ? 'with other parts' : `with ${listOf(parts)} again`;
    return `${again} after ${first}, ${counted(days, 'day')} later, ${same}`;
  });
  return [
    heading('Comebacks'),
    {
      kind: 'text',
      text: 'Boards with the same marking that were on the bench before, the last ones first.',
    },
    { kind: 'list', items: items.reverse() },
    ...more(comebacks.length),
  ];
}

function minuteBlocks({ minutes }: ModelView): Block[] {
  const timed = minutes.filter((group) => group.minutes > 0);
  if (timed.length === 0) return [];
  const name = ({ from, to }: { from: number; to: number }): string =>
    from === to ? `job ${from}` : `jobs ${from} to ${to}`;
  const stages = WORK_STAGES.filter((stage) =>
    timed.some((group) => group.stages[stage] !== undefined),
  );
  return [
    heading('Minutes at the bench'),
    {
      kind: 'bars',
      caption: 'Mean minutes of a job, from the oldest on',
      bars: timed.map((group) => ({
        name: name(group),
        value: group.minutes,
        says: `${group.minutes}`,
      })),
    },
    {
      kind: 'table',
      caption: 'Mean minutes by stage',
      columns: ['Jobs', ...stages],
      rows: timed.map((group) =>
        [name(group), ...stages.map((stage) => String(group.stages[stage] ?? ''))].map((text) =>
          cell(text),
        ),
      ),
    },
  ];
}

function workBlocks({ work }: ModelView): Block[] {
  if (work.length === 0) return [];
  const hasHands = work.some(({ by }) => by.length > 0);
  const rows = work.map(({ work: name, times, minutes, by }) => {
    const hands = by.map((one) => `${one.technician} ${one.minutes} (${one.times})`).join(', ');
    return [name, String(times), String(minutes), ...(hasHands ? [hands] : [])];
  });
  return [
    heading('How long work takes'),
    {
      kind: 'table',
      caption: 'Minutes that half of the times took less than',
      columns: ['Work', 'Times', 'Minutes', ...(hasHands ? ['By technician (times)'] : [])],
      rows: rows.slice(0, MOST_ROWS).map((texts) => texts.map((text) => cell(text))),
    },
  ];
}

function recordBlocks({ records }: ModelView): Block[] {
  const ofCustomers = records.some(({ customer }) => customer !== undefined) ? ['Customer'] : [];
  return [
    heading('What each job teaches'),
    {
      kind: 'table',
      caption: 'Newest first; forget one by the name it has here',
      columns: ['Job', 'Last entry', 'Teaches', 'Because', 'Found failed', ...ofCustomers],
      rows: records
        .slice(0, MOST_ROWS)
        .map(({ job, at, teaches, why, failed, customer = '' }) =>
          [
            job,
            at.slice(0, 10),
            String(teaches),
            why,
            failed.join(' '),
            ...ofCustomers.map(() => customer),
          ].map((text) => cell(text)),
        ),
    },
    ...more(records.length),
  ];
}

function more(count: number): Block[] {
  if (count <= MOST_ROWS) return [];
  return [{ kind: 'text', text: `… and ${count - MOST_ROWS} more; --json lists them all.` }];
}
