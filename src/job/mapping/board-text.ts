import { type Document, isMap, isScalar, isSeq, parseDocument } from 'yaml';
import { foundBoardYaml } from '../../board/import/mapped.ts';
import type { ListedPart } from '../../board/part-list/part-list.ts';
import { type MappedNets, mappedNets } from './nets.ts';
import type { MapSession } from './session.ts';

/** First words of the head of a board file that a map wrote. */
export const MAP_REMARK = 'Nets read on a known-good board';

/**
 * The board file of a map, finished or not: nets known so far, and every other point on a net of its
 * own, marked to be confirmed. A board file that the map began with keeps its comments and order.
 */
export function mappedBoardText(
  session: MapSession,
  mapped: MappedNets = mappedNets(session),
): string {
  const { list } = session;
  const guesses = guessesOf(session, mapped);
  const remarks = remarksOf(session, mapped);
  if (list.boardText !== undefined)
    return edited(list.boardText, session, mapped, guesses, remarks);
  let point = 0;
  const parts = list.parts.map((part) => ({
    ...sourceOf(part),
    pins: part.pins.map((pin) => ({
      name: pin.name,
      net: mapped.nets[mapped.netOf[point++] ?? -1]?.name,
      pads: 1,
      ...(pin.at === undefined ? {} : { at: pin.at }),
    })),
    listed: true,
    fitted: true,
    line: 0,
  }));
  return foundBoardYaml({ name: list.name, remarks, parts, guesses });
}

function sourceOf({ name, source }: ListedPart) {
  const letters = /^[A-Za-z]*/.exec(name)?.[0].toUpperCase() ?? '';
  const bare = { letters, value: '', footprint: '', partNumber: '', description: '' };
  return { ...bare, ...source, name };
}

function remarksOf(session: MapSession, mapped: MappedNets): string[] {
  const { touches } = session.counts;
  const lone = mapped.nets.filter(({ state }) => state !== 'joined').length;
  const state = mapped.isFinished
    ? 'Finished: no pair left was likely enough to be worth a reading; pairs never read may be joined all the same.'
    : 'Unfinished: nets may be parts of one net, and nets called unread_… are still to be found.';
  return [
    `${MAP_REMARK}: ${touches} readings, ${mapped.nets.length - lone} nets, ${lone} points on none.`,
    state,
    ...mapped.lowOhm
      .filter(({ nets }) => nets < 2)
      .map(({ parts }) => `Read alike on both sides, as these join them: ${parts.join(', ')}.`),
  ];
}

/** What a person is to confirm, by part. */
function guessesOf(session: MapSession, mapped: MappedNets): Map<string, string[]> {
  const guesses = new Map<string, string[]>();
  const { parts } = session.problem;
  const add = (part: string, text: string): void => {
    guesses.set(part, [...(guesses.get(part) ?? []), text]);
  };
  for (const { name, points } of parts) {
    const by = (state: string): string[] =>
      points
        .filter((point) => mapped.nets[mapped.netOf[point] ?? -1]?.state === state)
        .map((point) => session.problem.points[point]?.name.slice(name.length + 1) ?? '');
    const unread = by('unread');
    const alone = by('alone');
    if (unread.length > 0) add(name, `net not found yet: pin ${unread.join(', ')}`);
    if (alone.length > 0) add(name, `nothing found joined to pin ${alone.join(', ')}`);
  }
  for (const { parts: joining, nets } of mapped.lowOhm) {
    const why =
      nets > 1
        ? 'its nets were told apart by eye, as it joins them'
        : 'which points lie on which side of it was not told: lift it and map on';
    for (const part of joining) add(part, why);
  }
  for (const part of mapped.bridged) add(part, 'read with two of its legs on one net');
  return guesses;
}

/** The board file with nets put in where they were not known or turned out otherwise. */
function edited(
  text: string,
  session: MapSession,
  mapped: MappedNets,
  guesses: ReadonlyMap<string, readonly string[]>,
  remarks: readonly string[],
): string {
  const document = parseDocument(text);
  let point = 0;
  for (const part of session.list.parts) {
    const path = document.hasIn(['parts', part.name])
      ? ['parts', part.name, 'pins']
      : ['jumpers', part.name];
    const pins = document.getIn(path);
    for (const [at, pin] of part.pins.entries()) {
      const net = mapped.nets[mapped.netOf[point++] ?? -1]?.name;
      if (net === undefined || net === pin.net) continue;
      if (isSeq(pins)) pins.set(at, net);
      else if (isMap(pins)) {
        const entry = pins.items[at];
        if (entry !== undefined && (isScalar(entry.value) || entry.value === null)) {
          pins.set(entry.key, net);
        }
      }
    }
    const marks = guesses.get(part.name);
    if (path[0] === 'parts') setGuesses(document, part.name, marks ?? []);
  }
  const old = (document.commentBefore ?? '').split('\n').filter((line) => !HEAD.test(line.trim()));
  const head = remarks.map((line) => ` ${line}`);
  document.commentBefore = [...head, ...old].join('\n').trimEnd();
  return document.toString({ lineWidth: 0 });
}

/** What the file had a person confirm stays; what an earlier map left open is put anew. */
function setGuesses(document: Document, part: string, marks: readonly string[]): void {
  const path = ['parts', part, 'guess'];
  const held: unknown = document.getIn(path);
  const old = isSeq(held)
    ? held.items.map((item) => String(isScalar(item) ? item.value : item))
    : [];
  const kept = old.filter((each) => !OWN_GUESS.test(each));
  if (old.length === 0 && marks.length === 0) return;
  if (kept.length + marks.length === 0) document.deleteIn(path);
  else document.setIn(path, document.createNode([...kept, ...marks], { flow: true }));
}

const OWN_GUESS =
  /^(net not found yet|nothing found joined|its nets were told apart by eye|which points lie on which side|read with two of its legs)/;

/** Lines of an earlier map's head. */
const HEAD = new RegExp(`^(${MAP_REMARK}|Finished: no pair|Unfinished: nets|Read alike on both)`);
